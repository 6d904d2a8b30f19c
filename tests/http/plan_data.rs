//! What the planner is told of a car, and the forms that tell it.

use crate::support::TestApp;
use underlamp::plan::garage::told;
use underlamp::plan::store;

#[tokio::test]
async fn show() {
    let app = TestApp::demo().await;
    let car = app.demo_car().await;
    let whole = app.state.cars.get(&app.state.read, car).await.unwrap();
    let planning = store::planning(&mut app.state.read.conn().await.unwrap(), car).await.unwrap();
    let told = told(&whole, &planning, app.state.clock.now().local().datetime());
    for job in &told.garage.jobs {
        println!(
            "{} pieces {:?} done {} needs {:?} blocked {:?} helper {} parts {:?} tools {:?}",
            job.title,
            job.pieces.iter().map(|p| p.likely()).collect::<Vec<_>>(),
            job.done,
            job.needs.iter().map(|n| &n.0).collect::<Vec<_>>(),
            job.blocked_by.iter().map(|n| &n.0).collect::<Vec<_>>(),
            job.helper,
            job.parts.iter().map(|p| &p.words).collect::<Vec<_>>(),
            job.tools
        );
    }
    for access in &told.garage.access {
        println!("{access:?}");
    }
    println!("{:?}", told.guesses);
    println!("{:?}", told.correction.map(|c| c.to_string()));
}
