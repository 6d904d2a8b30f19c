//! What every page and answer shares: the frame around a page, the assets, the worker, the headers, and
//! how a request is taken apart.

pub mod assets;
pub mod car_picture;
pub mod extract;
pub mod form;
pub mod headers;
pub mod page;
pub mod sheet;
pub mod shell;
pub mod words;
