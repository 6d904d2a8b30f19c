//! The app in one place: what handlers are given, and every URL with who may call it.

use crate::access::{self, Table, Tries};
use crate::backup::keeper::{BackupNews, Backups};
use crate::clock::Clock;
use crate::db::{ReadDb, WriteDb};
use crate::garage::Scratch;
use crate::helper::job::OneJob;
use crate::helper::presence::Presence;
use crate::ids::StoreId;
use crate::logbook::find::Indexes;
use crate::patterns::library::PatternFolder;
use crate::photos::Pictures;
use crate::photos::shelf::PhotoShelf;
use crate::plan::pages::standing::Plans;
use crate::record::printer::Printer;
use crate::survey::library::SurveyFolder;
use crate::web::{assets, headers, page, shell};
use crate::work::whole::WholeCars;
use crate::{
    backup, cars, chest, fluids, helper, jobs, logbook, markings, moving, patterns, photos, plan, readings, record,
    road, shelf, sounds, specs, survey, symptoms, sync, under, upkeep, work,
};
use axum::Router;
use axum::extract::{DefaultBodyLimit, FromRef};
use axum::http::Method;
use axum::middleware;
use std::sync::Arc;
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::trace::TraceLayer;

/// Bodies other than pieces of photos.
const BODY_LIMIT: usize = 1024 * 1024;

/// From this level on brotli looks back far enough to find what one page of a copy shares with the others.
const COMPRESSION: CompressionLevel = CompressionLevel::Precise(5);

/// What is fixed while the program runs.
#[derive(Clone)]
pub struct Site(Arc<SiteFacts>);

pub struct SiteFacts {
    /// The one address that phones use, without a slash at its end.
    pub canonical: String,
    /// Whether pages come over HTTPS, so that cookies may say so.
    pub secure: bool,
    /// How a phone is brought to trust our own authority; `None` where it need not.
    pub trust: Option<TrustFacts>,
}

pub struct TrustFacts {
    pub url: String,
    /// SHA-256 of the authority, in groups.
    pub fingerprint: Vec<String>,
}

impl Site {
    pub fn new(facts: SiteFacts) -> Site {
        Site(Arc::new(facts))
    }

    /// Started for this computer only: no phone can reach it.
    pub fn is_only_here(&self) -> bool {
        self.canonical.starts_with("http://localhost")
    }
}

impl std::ops::Deref for Site {
    type Target = SiteFacts;
    fn deref(&self) -> &SiteFacts {
        &self.0
    }
}

/// What a handler that may write is given.
#[derive(Clone, FromRef)]
pub struct OwnerState {
    pub read: ReadDb,
    pub cars: WholeCars,
    pub write: WriteDb,
    pub photos: PhotoShelf,
    pub patterns: PatternFolder,
    pub surveys: SurveyFolder,
    pub scratch: Scratch,
    pub backups: Backups,
    pub clock: Clock,
    pub store: StoreId,
    pub site: Site,
    pub tries: Tries,
    pub presence: Presence,
    pub plans: Plans,
    pub indexes: Indexes,
    pub printer: Printer,
}

/// What a handler that only shows is given. There is no writing handle in it.
#[derive(Clone, FromRef)]
pub struct ReaderState {
    pub read: ReadDb,
    pub cars: WholeCars,
    pub photos: Pictures,
    pub patterns: PatternFolder,
    pub surveys: SurveyFolder,
    pub scratch: Scratch,
    pub backups: BackupNews,
    pub clock: Clock,
    pub store: StoreId,
    pub site: Site,
    pub presence: Presence,
    pub plans: Plans,
    pub indexes: Indexes,
    pub printer: Printer,
}

/// What a handler for the holder of a link is given: one job to read, and no handle on the database.
#[derive(Clone, FromRef)]
pub struct HelperState {
    pub job: OneJob,
    pub presence: Presence,
    pub clock: Clock,
    pub site: Site,
}

impl From<&OwnerState> for HelperState {
    fn from(state: &OwnerState) -> HelperState {
        HelperState {
            job: OneJob::from(state),
            presence: state.presence.clone(),
            clock: state.clock.clone(),
            site: state.site.clone(),
        }
    }
}

/// What a handler for anyone is given. Writing at the door takes a `Doorkeeper`, which `access` alone can make.
#[derive(Clone, FromRef)]
pub struct DoorState {
    pub read: ReadDb,
    pub write: WriteDb,
    pub clock: Clock,
    pub site: Site,
    pub tries: Tries,
}

impl From<&OwnerState> for DoorState {
    fn from(state: &OwnerState) -> DoorState {
        DoorState {
            read: state.read.clone(),
            write: state.write.clone(),
            clock: state.clock.clone(),
            site: state.site.clone(),
            tries: state.tries.clone(),
        }
    }
}

impl From<&OwnerState> for ReaderState {
    fn from(state: &OwnerState) -> ReaderState {
        ReaderState {
            read: state.read.clone(),
            cars: state.cars.clone(),
            photos: Pictures::of(&state.photos),
            patterns: state.patterns.clone(),
            surveys: state.surveys.clone(),
            scratch: state.scratch.clone(),
            backups: BackupNews::of(&state.backups),
            clock: state.clock.clone(),
            store: state.store,
            site: state.site.clone(),
            presence: state.presence.clone(),
            plans: state.plans.clone(),
            indexes: state.indexes.clone(),
            printer: state.printer.clone(),
        }
    }
}

/// Every URL. `open`: anyone. `help`: the holder of a link to one job, shown that job. `read`: a paired browser, shown something. `write`: a paired browser, may change something.
#[rustfmt::skip]
pub fn table() -> Table {
    const GET: Method = Method::GET;
    const HEAD: Method = Method::HEAD;
    const POST: Method = Method::POST;
    const PATCH: Method = Method::PATCH;
    Table::new()
        // the shell
        .open(GET,   "/a/{build}/{*path}",                        assets::serve)
        .open(GET,   "/sw.js",                                    shell::worker)
        .open(GET,   "/manifest.webmanifest",                     shell::manifest)
        .open(GET,   "/favicon.ico",                              shell::favicon)
        .open(GET,   "/offline",                                  shell::offline)
        .open(GET,   "/healthz",                                  shell::healthz)
        .open(GET,   "/plates",                                   shell::plates)
        .open(GET,   "/schemas/spec-book-1.json",                 specs::out::routes::schema)
        .open(GET,   "/schemas/underlamp-car-1.json",             moving::routes::schema)
        .open(POST,  "/scheme",                                   access::routes::scheme)
        // coming in
        .open(GET,   "/pair",                                     access::routes::ask)
        .open(POST,  "/pair",                                     access::routes::pair)
        .read(GET,   "/devices",                                  access::routes::devices)
        .write(POST, "/devices/code",                             access::routes::code)
        .read(GET,   "/devices/code",                             access::routes::no_code)
        .write(POST, "/devices/{device}/part",                    access::routes::part)
        // the helper's link
        .open(GET,   "/h",                                        helper::routes::enter)
        .open(POST,  "/h/in",                                     helper::routes::hand_in)
        .help(GET,   "/h/job",                                    helper::routes::job)
        .help(GET,   "/h/aloud",                                  helper::routes::aloud)
        .help(GET,   "/h/now",                                    helper::live::now)
        .help(GET,   "/h/live",                                   helper::live::live)
        .help(GET,   "/h/photos/{sha256}/{which}",                helper::routes::photo)
        .help(POST,  "/h/ring",                                   helper::routes::ring)
        .read(GET,   "/cars/{car}/cards/{card}/helper",           helper::links::links)
        .write(POST, "/cars/{car}/cards/{card}/helper",           helper::links::make)
        .write(POST, "/cars/{car}/cards/{card}/helper/{link}/take-back", helper::links::take_back)
        .read(GET,   "/sync/helpers/{card}",                      helper::live::around)
        .read(GET,   "/sync/helpers/{card}/live",                 helper::live::around_live)
        // the garage, a car's home and its logbook
        .read(GET,   "/",                                         cars::routes::garage)
        .read(GET,   "/cars/new",                                 cars::routes::new)
        .write(POST, "/cars",                                     cars::routes::add)
        .read(GET,   "/cars/{car}",                               cars::routes::home)
        .read(GET,   "/cars/{car}/edit",                          cars::routes::edit)
        .write(POST, "/cars/{car}/edit",                          cars::routes::change)
        .read(GET,   "/cars/{car}/logbook",                       logbook::routes::logbook)
        .write(POST, "/cars/{car}/logbook",                       logbook::routes::write)
        .read(GET,   "/cars/{car}/logbook/{op}/correct",          logbook::correct::ask)
        .write(POST, "/cars/{car}/logbook/{op}/correct",          logbook::correct::correct)
        // the record to hand over
        .read(GET,   "/cars/{car}/record",                        record::routes::choose)
        .read(GET,   "/cars/{car}/record/sheet",                  record::routes::sheet)
        .read(GET,   "/cars/{car}/record/page.css",               record::routes::page_style)
        .read(POST,  "/cars/{car}/record/sheet",                  record::routes::sheet)
        .read(POST,  "/cars/{car}/record.pdf",                    record::routes::pdf)
        // parts to buy and on the shelf
        .read(GET,   "/cars/{car}/buy-list",                      shelf::routes::list)
        .write(POST, "/cars/{car}/buy-list/move",                 shelf::routes::moved)
        .read(GET,   "/cars/{car}/buy-list/order",                shelf::routes::order)
        .read(GET,   "/cars/{car}/buy-list/money",                shelf::money::routes::money)
        .write(POST, "/cars/{car}/buy-list/money",                shelf::money::routes::keep)
        .read(GET,   "/cars/{car}/buy-list/money.csv",            shelf::money::routes::csv)
        .read(GET,   "/cars/{car}/buy-list.csv",                  shelf::routes::csv)
        .read(GET,   "/cars/{car}/buy-list/bottles",              fluids::bottle_routes::bottles)
        .write(POST, "/cars/{car}/buy-list/bottles/sizes",        fluids::bottle_routes::add_size)
        .write(POST, "/cars/{car}/buy-list/bottles/sizes/{size}/remove", fluids::bottle_routes::remove_size)
        .write(POST, "/cars/{car}/buy-list/bottles/shelf",        fluids::bottle_routes::add_kept)
        .write(POST, "/cars/{car}/buy-list/bottles/shelf/{bottle}/remove", fluids::bottle_routes::remove_kept)
        .read(GET,   "/cars/{car}/parts/new",                     shelf::routes::new)
        .write(POST, "/cars/{car}/parts",                         shelf::routes::add)
        .read(GET,   "/cars/{car}/parts/{part}",                  shelf::routes::part)
        .write(POST, "/cars/{car}/parts/{part}",                  shelf::routes::change)
        .write(POST, "/cars/{car}/parts/{part}/remove",           shelf::routes::remove)
        // the plan
        .read(GET,   "/cars/{car}/plan",                          plan::pages::routes::plan)
        .write(POST, "/cars/{car}/plan/again",                    plan::pages::routes::again)
        .read(GET,   "/cars/{car}/plan/move/{card}",              plan::pages::routes::ask)
        .write(POST, "/cars/{car}/plan/move/{card}",              plan::pages::routes::keep_there)
        .write(POST, "/cars/{car}/plan/move/{card}/free",         plan::pages::routes::free)
        .read(GET,   "/cars/{car}/plan/dates",                    plan::pages::asked::dates)
        .read(GET,   "/cars/{car}/plan/tonight",                  plan::pages::asked::tonight)
        .open(GET,   "/calendar/evenings.ics",                    plan::calendar::routes::feed)
        .read(GET,   "/cars/{car}/plan/evenings.ics",             plan::calendar::routes::file)
        .read(GET,   "/cars/{car}/plan/calendar",                 plan::calendar::routes::links)
        .write(POST, "/cars/{car}/plan/calendar",                 plan::calendar::routes::make)
        .write(POST, "/cars/{car}/plan/calendar/{link}/take-back", plan::calendar::routes::take_back)
        // moving house
        .read(GET,   "/moving",                                   moving::routes::ask)
        .write(POST, "/moving",                                   moving::routes::bring_in)
        .read(GET,   "/moving/garage.tar.gz",                     moving::routes::garage)
        .read(GET,   "/backups",                                  backup::routes::show_them)
        .write(POST, "/backups",                                  backup::routes::set)
        .write(POST, "/backups/now",                              backup::routes::make_now)
        .write(POST, "/backups/stop",                             backup::routes::stop)
        .read(GET,   "/cars/{car}/take",                          moving::routes::take)
        .read(GET,   "/cars/{car}/take/{file}",                   moving::routes::file)
        // sync
        .read(GET,   "/sync/hello",                               sync::routes::hello)
        .read(GET,   "/sync/changes",                             sync::routes::changes)
        .write(POST, "/sync/ops",                                 sync::routes::send)
        .write(POST, "/sync/kept",                                sync::routes::kept)
        .read(GET,   "/sync/pack/{car}",                          under::routes::pack)
        .read(POST,  "/sync/pack/{car}/pages",                    under::routes::bundle)
        // the spec book
        .read(GET,   "/cars/{car}/specs",                         specs::routes::book)
        .write(POST, "/cars/{car}/specs",                         specs::routes::add)
        .read(GET,   "/cars/{car}/specs.csv",                     specs::out::routes::csv)
        .read(GET,   "/cars/{car}/specs.json",                    specs::out::routes::json)
        .read(GET,   "/cars/{car}/specs/new",                     specs::routes::new)
        .read(GET,   "/cars/{car}/specs/bring",                   specs::bring::routes::ask)
        .write(POST, "/cars/{car}/specs/bring",                   specs::bring::routes::bring)
        .read(GET,   "/cars/{car}/specs/paste",                   specs::paste::routes::ask)
        .write(POST, "/cars/{car}/specs/paste",                   specs::paste::routes::paste)
        .read(GET,   "/cars/{car}/specs/{spec}",                  specs::routes::spec)
        .read(GET,   "/cars/{car}/specs/{spec}/edit",             specs::routes::edit)
        .write(POST, "/cars/{car}/specs/{spec}/edit",             specs::routes::change)
        .read(GET,   "/cars/{car}/specs/{spec}/wrench",           chest::routes::which)
        .read(GET,   "/cars/{car}/specs/{spec}/fluid",            fluids::routes::fluid)
        .write(POST, "/cars/{car}/specs/{spec}/remove",           specs::routes::remove)
        .write(POST, "/cars/{car}/specs/{spec}/settle",           specs::sources::settle)
        .write(POST, "/cars/{car}/specs/{spec}/says",             specs::sources::add)
        .read(GET,   "/cars/{car}/specs/{spec}/says/{says}",      specs::sources::edit)
        .write(POST, "/cars/{car}/specs/{spec}/says/{says}",      specs::sources::change)
        .write(POST, "/cars/{car}/specs/{spec}/says/{says}/remove", specs::sources::remove)
        .write(POST, "/cars/{car}/specs/{spec}/says/{says}/photo", specs::photo::bring)
        .write(POST, "/cars/{car}/specs/{spec}/says/{says}/photo/remove", specs::photo::remove)
        // what holds for every car
        .read(GET,   "/markings",                                 markings::routes::ask)
        .read(POST,  "/markings",                                 markings::routes::read)
        .read(GET,   "/chest",                                    chest::routes::chest)
        .read(GET,   "/chest/new",                                chest::routes::new)
        .write(POST, "/chest",                                    chest::routes::add)
        .write(POST, "/chest/sets",                               chest::tools::routes::add_set)
        .read(GET,   "/chest/tools/new",                          chest::tools::routes::new)
        .write(POST, "/chest/tools",                              chest::tools::routes::add)
        .read(GET,   "/chest/tools/{tool}",                       chest::tools::routes::tool)
        .write(POST, "/chest/tools/{tool}",                       chest::tools::routes::change)
        .write(POST, "/chest/tools/{tool}/remove",                chest::tools::routes::remove)
        .read(GET,   "/chest/{wrench}",                           chest::routes::wrench)
        .write(POST, "/chest/{wrench}",                           chest::routes::change)
        .write(POST, "/chest/{wrench}/remove",                    chest::routes::remove)
        // job cards
        .read(GET,   "/cars/{car}/evening",                       jobs::evening::evening)
        .write(POST, "/cars/{car}/cards",                         jobs::routes::add)
        .read(GET,   "/cars/{car}/cards/new",                     jobs::routes::new)
        .read(GET,   "/cars/{car}/cards/{card}",                  jobs::routes::card)
        .read(GET,   "/cars/{car}/cards/{card}/edit",             jobs::routes::edit)
        .write(POST, "/cars/{car}/cards/{card}/edit",             jobs::routes::change)
        .read(GET,   "/cars/{car}/cards/{card}/remove",           jobs::removal::ask)
        .write(POST, "/cars/{car}/cards/{card}/remove",           jobs::removal::card)
        .write(POST, "/cars/{car}/cards/{card}/move",             jobs::routes::move_card)
        .write(POST, "/cars/{car}/cards/{card}/recheck",          jobs::routes::recheck)
        .write(POST, "/cars/{car}/cards/{card}/time",             jobs::routes::time)
        .read(GET,   "/cars/{car}/cards/{card}/steps/new",        jobs::steps::new)
        .write(POST, "/cars/{car}/cards/{card}/steps",            jobs::steps::add)
        .read(GET,   "/cars/{car}/cards/{card}/steps/{step}",     jobs::steps::edit)
        .write(POST, "/cars/{car}/cards/{card}/steps/{step}",     jobs::steps::change)
        .write(POST, "/cars/{car}/cards/{card}/steps/{step}/move", jobs::steps::move_step)
        .write(POST, "/cars/{car}/cards/{card}/steps/{step}/remove", jobs::removal::step)
        .write(POST, "/cars/{car}/cards/{card}/steps/{step}/tick", work::routes::tick)
        // the evenings that the plan fills
        .read(GET,   "/cars/{car}/plan/evenings",                 plan::evenings::routes::list)
        .write(POST, "/cars/{car}/plan/evenings",                 plan::evenings::routes::add)
        .write(POST, "/cars/{car}/plan/evenings/many",            plan::evenings::routes::add_many)
        .read(GET,   "/cars/{car}/plan/evenings/{evening}",       plan::evenings::routes::evening)
        .write(POST, "/cars/{car}/plan/evenings/{evening}",       plan::evenings::routes::change)
        .write(POST, "/cars/{car}/plan/evenings/{evening}/helper", plan::evenings::routes::helper)
        .write(POST, "/cars/{car}/plan/evenings/{evening}/remove", plan::evenings::routes::remove)
        // patterns
        .read(GET,   "/cars/{car}/patterns",                      patterns::routes::list)
        .read(GET,   "/cars/{car}/patterns/{pattern}",            patterns::routes::pattern)
        .write(POST, "/cars/{car}/patterns/{pattern}",            patterns::routes::add)
        // readings and their limits
        .read(GET,   "/cars/{car}/readings",                      readings::routes::list)
        .write(POST, "/cars/{car}/readings",                      readings::routes::add)
        .read(GET,   "/cars/{car}/readings/of",                   readings::routes::thing)
        .read(GET,   "/cars/{car}/readings/limit",                readings::routes::limit)
        .write(POST, "/cars/{car}/readings/limit",                readings::routes::keep)
        .write(POST, "/cars/{car}/readings/limit/remove",         readings::routes::remove)
        // the survey
        .read(GET,   "/cars/{car}/survey",                        survey::routes::list)
        .write(POST, "/cars/{car}/survey/deal",                   survey::deal::deal)
        .read(GET,   "/cars/{car}/survey/areas/{area}",           survey::routes::area)
        .write(POST, "/cars/{car}/survey/areas/{area}",           survey::answers::keep)
        // upkeep
        .read(GET,   "/cars/{car}/upkeep",                        upkeep::routes::list)
        .write(POST, "/cars/{car}/upkeep",                        upkeep::routes::add)
        .read(GET,   "/cars/{car}/upkeep/new",                    upkeep::routes::new)
        .read(GET,   "/cars/{car}/upkeep/upkeep.ics",             upkeep::feed::calendar)
        .write(POST, "/cars/{car}/upkeep/from/{card}",            upkeep::routes::from_card)
        .write(POST, "/cars/{car}/upkeep/stands",                 upkeep::stands::stands)
        .read(GET,   "/cars/{car}/upkeep/odometer",               upkeep::clock_routes::clock)
        .write(POST, "/cars/{car}/upkeep/odometer",               upkeep::clock_routes::read_off)
        .write(POST, "/cars/{car}/upkeep/odometer/word",          upkeep::clock_routes::explain)
        .read(GET,   "/cars/{car}/upkeep/{item}",                 upkeep::routes::item)
        .write(POST, "/cars/{car}/upkeep/{item}",                 upkeep::routes::change)
        .write(POST, "/cars/{car}/upkeep/{item}/done",            upkeep::routes::done)
        .write(POST, "/cars/{car}/upkeep/{item}/not-done",        upkeep::routes::not_done)
        .write(POST, "/cars/{car}/upkeep/{item}/remove",          upkeep::routes::remove)
        // symptoms
        .read(GET,   "/cars/{car}/symptoms",                      symptoms::routes::list)
        .write(POST, "/cars/{car}/symptoms",                      symptoms::routes::add)
        // sounds, and what turns on the car
        .read(GET,   "/cars/{car}/sounds",                        sounds::routes::list)
        .write(POST, "/cars/{car}/sounds",                        sounds::routes::bring)
        .write(POST, "/cars/{car}/sounds/turns",                  sounds::routes::keep_turns)
        .read(GET,   "/cars/{car}/sounds/parts/new",              sounds::parts::new)
        .write(POST, "/cars/{car}/sounds/parts",                  sounds::parts::add)
        .read(GET,   "/cars/{car}/sounds/parts/{part}",           sounds::parts::edit)
        .write(POST, "/cars/{car}/sounds/parts/{part}",           sounds::parts::change)
        .write(POST, "/cars/{car}/sounds/parts/{part}/remove",    sounds::parts::remove)
        .read(GET,   "/cars/{car}/sounds/{clip}",                 sounds::routes::clip)
        .write(POST, "/cars/{car}/sounds/{clip}",                 sounds::routes::keep_speeds)
        .read(GET,   "/cars/{car}/sounds/{clip}/sound.wav",       sounds::routes::sound)
        .read(GET,   "/cars/{car}/sounds/{clip}/levels.png",      sounds::routes::levels)
        .read(GET,   "/cars/{car}/sounds/{clip}/beside",          sounds::routes::beside)
        // the road check
        .read(GET,   "/cars/{car}/road-check",                    road::routes::sheet)
        // under the car
        .read(GET,   "/under",                                    under::routes::choose)
        .read(GET,   "/under/waiting",                            under::routes::waiting)
        .read(GET,   "/under/{car}",                              under::routes::car)
        .read(GET,   "/under/{car}/cards/{card}",                 under::routes::card)
        .read(GET,   "/under/{car}/loose",                        under::routes::loose)
        .read(GET,   "/under/{car}/night",                        under::routes::night)
        .read(GET,   "/under/{car}/road",                         under::routes::road)
        .read(GET,   "/under/{car}/survey",                       under::routes::survey)
        .read(GET,   "/under/{car}/tonight",                      under::tonight::tonight)
        .read(GET,   "/under/{car}/specs",                        under::routes::specs)
        .read(GET,   "/under/{car}/markings",                     under::markings::ask)
        .read(POST,  "/under/{car}/markings",                     under::markings::read)
        .read(GET,   "/under/{car}/arrivals",                     under::routes::arrivals)
        .read(GET,   "/under/{car}/note",                         under::routes::note)
        .read(GET,   "/under/{car}/checks",                       under::routes::checks)
        .write(POST, "/under/{car}/do",                           under::routes::act)
        // photos
        .write(POST, "/uploads",                                  photos::routes::begin)
        .write(PATCH,"/uploads/{sha256}",                         photos::routes::piece)
        .write(HEAD, "/uploads/{sha256}",                         photos::routes::offset)
        .read(GET,   "/photos/{sha256}/{which}",                  photos::routes::show)
}

/// The whole app.
pub fn router(state: OwnerState) -> Router {
    let site = state.site.clone();
    table()
        .into_router(state)
        .fallback(shell::nothing_here)
        .layer(middleware::from_fn_with_state(site, page::problems_as_pages))
        .layer(DefaultBodyLimit::max(BODY_LIMIT))
        .layer(CompressionLayer::new().quality(COMPRESSION))
        .layer(middleware::from_fn(headers::add))
        .layer(CatchPanicLayer::new())
        .layer(TraceLayer::new_for_http().make_span_with(|request: &axum::extract::Request| {
            // The path only: what stands behind a question mark is nobody's business in a log.
            tracing::info_span!("request", method = %request.method(), path = request.uri().path())
        }))
}
