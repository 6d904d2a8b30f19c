//! The only way to add a route: each says who may call it in the same line.

use super::helper::require_link;
use super::{refuse_cross_site, require_pairing};
use crate::app::{DoorState, HelperState, OwnerState, ReaderState};
use axum::Router;
use axum::handler::Handler;
use axum::http::Method;
use axum::middleware;
use axum::routing::{MethodFilter, on};

/// Who may call a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// Nobody needs to be known: pairing, the shell of the app, the greeting.
    Anyone,
    /// The holder of a link to one job; the handler can reach that job only, and only read it.
    Helper,
    /// A paired browser; the handler can only read.
    Reader,
    /// A paired browser; the handler may write.
    Owner,
}

/// A route as it was registered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    pub method: Method,
    pub path: &'static str,
    pub who: Who,
}

/// Routes being collected, with the list of them all.
#[derive(Default)]
pub struct Table {
    listed: Vec<Listed>,
    anyone: Router<DoorState>,
    helper: Router<HelperState>,
    reader: Router<ReaderState>,
    owner: Router<OwnerState>,
}

impl Table {
    pub fn new() -> Table {
        Table::default()
    }

    /// A route for anyone.
    pub fn open<H, T>(mut self, method: Method, path: &'static str, handler: H) -> Table
    where
        H: Handler<T, DoorState>,
        T: 'static,
    {
        self.anyone = self.anyone.route(path, on(filter(&method), handler));
        self.list(method, path, Who::Anyone)
    }

    /// A route for whoever holds the link to a job.
    pub fn help<H, T>(mut self, method: Method, path: &'static str, handler: H) -> Table
    where
        H: Handler<T, HelperState>,
        T: 'static,
    {
        self.helper = self.helper.route(path, on(filter(&method), handler));
        self.list(method, path, Who::Helper)
    }

    /// A route for paired browsers that only shows.
    pub fn read<H, T>(mut self, method: Method, path: &'static str, handler: H) -> Table
    where
        H: Handler<T, ReaderState>,
        T: 'static,
    {
        self.reader = self.reader.route(path, on(filter(&method), handler));
        self.list(method, path, Who::Reader)
    }

    /// A route for paired browsers that may change something.
    pub fn write<H, T>(mut self, method: Method, path: &'static str, handler: H) -> Table
    where
        H: Handler<T, OwnerState>,
        T: 'static,
    {
        self.owner = self.owner.route(path, on(filter(&method), handler));
        self.list(method, path, Who::Owner)
    }

    fn list(mut self, method: Method, path: &'static str, who: Who) -> Table {
        self.listed.push(Listed { method, path, who });
        self
    }

    pub fn listed(&self) -> &[Listed] {
        &self.listed
    }

    /// The router: pairing is asked for where the table says so, and cross-site changes are refused everywhere.
    pub fn into_router(self, state: OwnerState) -> Router {
        let pairing = || middleware::from_fn_with_state(state.clone(), require_pairing);
        // Laying a guard over no routes at all is refused by the router.
        let reader = if self.reader.has_routes() { self.reader.route_layer(pairing()) } else { self.reader };
        let owner = if self.owner.has_routes() { self.owner.route_layer(pairing()) } else { self.owner };
        let linked = || middleware::from_fn_with_state(state.clone(), require_link);
        let helper = if self.helper.has_routes() { self.helper.route_layer(linked()) } else { self.helper };
        let helper = helper.with_state(HelperState::from(&state));
        let reader = reader.with_state(ReaderState::from(&state));
        let owner = owner.with_state(state.clone());
        let anyone = self.anyone.with_state(DoorState::from(&state));
        reader.merge(owner).merge(helper).merge(anyone).layer(middleware::from_fn(refuse_cross_site))
    }
}

/// HEAD is answered wherever GET is, unless a route lists it for itself.
///
/// # Panics
/// At start, for a method that no route here has had yet: the table is the program's own.
fn filter(method: &Method) -> MethodFilter {
    match *method {
        Method::GET => MethodFilter::GET,
        Method::HEAD => MethodFilter::HEAD,
        Method::POST => MethodFilter::POST,
        Method::PATCH => MethodFilter::PATCH,
        _ => panic!("{method} is not used in this app"),
    }
}
