//! What becomes of a torque when thread and head are lubricated otherwise than it is meant for: most of a torque goes
//! into friction, so oil where none belongs pulls the bolt further, and a dry thread where oil belongs pulls it less.
//!
//! Source of the reckoning: `trade::preload`, with its ranges of friction.

use super::Asked;
use crate::trade::fastener_strength::Bolt;
use crate::trade::preload::{Friction, Lubrication, PreloadRange};

/// A sentence for who has the oil can in his hand. `None` where the bolt or its lubrication is not known, where a turn
/// after the torque does the pulling, or where the relation does not hold.
pub fn lubricated_otherwise(asked: &Asked) -> Option<String> {
    if asked.turned_further || asked.joint.refusal().is_some() {
        return None;
    }
    let (thread, class) = (asked.thread.as_ref().ok()?, asked.class.as_ref().ok()?);
    let bolt = Bolt::new(*thread, class.class).ok()?;
    let shares = |named: &[Lubrication]| PreloadRange::of(bolt, &asked.torque, Friction::of(named)).shares();
    let meant = shares(&asked.lubrication);
    let is_slippery =
        |one: &Lubrication| matches!(one, Lubrication::Oiled | Lubrication::Greased | Lubrication::AntiSeize);
    if asked.lubrication.iter().any(is_slippery) {
        let (dry, _) = shares(&[Lubrication::Dry]);
        return (dry < meant.0).then(|| {
            format!(
                "Left dry, the same torque pulls the bolt to as little as {} of its proof load instead of {}.",
                percent(dry),
                percent(meant.0)
            )
        });
    }
    if !asked.lubrication.contains(&Lubrication::Dry) {
        return None;
    }
    let (_, oiled) = shares(&[Lubrication::Oiled]);
    (oiled > meant.1).then(|| {
        let harm = if oiled > 1.0 { "then it is overloaded, and stretches or breaks" } else { "then it is pulled too far" };
        format!(
            "With oil on it the same torque pulls the bolt to as much as {} of its proof load, dry to {} at most: {harm}.",
            percent(oiled),
            percent(meant.1)
        )
    })
}

fn percent(share: f64) -> String {
    if share > 1.5 { "more than 150 %".to_owned() } else { format!("{:.0} %", share * 100.0) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::quantity::Span;
    use crate::trade::spec::Fastener;

    fn said(torque: &str, class: &str, lubrication: &str, turned: bool) -> Option<String> {
        let fastener = Fastener {
            thread: "M10x1.5".into(),
            class: class.into(),
            head: "17 mm hex".into(),
            count: 1,
            lubrication: lubrication.into(),
            single_use: false,
        };
        lubricated_otherwise(&Asked::read(Span::parse(torque).unwrap(), &fastener, "Bearing cap bolts", turned))
    }

    /// Source of 48 N·m for a dry M10 8.8: a farm-machine manual's table, read second-hand. That oil takes about a quarter
    /// of the friction away and overloads a bolt pulled dry to its figure is common practice, no source.
    #[test]
    fn oil_on_a_dry_torque_pulls_further_and_is_said_with_its_share() {
        let oiled = said("48 Nm", "8.8", "dry", false).unwrap();
        assert!(oiled.starts_with("With oil on it") && oiled.contains("overloaded"), "{oiled}");
        let share = |text: &str, after: &str| -> u32 {
            let at = text.find(after).unwrap() + after.len();
            text[at..].split(' ').next().unwrap().parse().unwrap()
        };
        assert!(share(&oiled, "as much as ") > share(&oiled, "dry to "), "{oiled}");
        let low = said("20 Nm", "8.8", "dry", false).unwrap();
        assert!(low.contains("pulled too far"), "{low}");
    }

    #[test]
    fn a_dry_thread_at_an_oiled_torque_is_pulled_less() {
        let dry = said("48 Nm", "8.8", "oiled", false).unwrap();
        assert!(dry.starts_with("Left dry"), "{dry}");
    }

    #[test]
    fn where_nothing_is_known_nothing_is_said() {
        assert_eq!(said("48 Nm", "8.8", "", false), None);
        assert_eq!(said("48 Nm", "", "dry", false), None);
        assert_eq!(said("48 Nm", "8.8", "dry", true), None);
        assert_eq!(said("48 Nm", "8.8", "thread-locking liquid", false), None);
    }
}
