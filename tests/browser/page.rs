//! A page, and what a person does with it.

use super::patience::{until, until_some, wait_for};
use super::protocol::*;
use headless_chrome::Tab;
use headless_chrome::protocol::cdp::types::Event;
use serde_json::{Value, json};
use std::path::Path;
use std::sync::{Arc, Mutex};

/// A screen, in CSS pixels, and whether it is touched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    pub width: u32,
    pub height: u32,
    pub touched: bool,
}

pub const PHONE: Screen = Screen { width: 390, height: 844, touched: true };
pub const PHONE_LYING: Screen = Screen { width: 844, height: 390, touched: true };
pub const DESK: Screen = Screen { width: 1440, height: 900, touched: false };

pub struct Page {
    tab: Arc<Tab>,
    context: Option<String>,
    touched: std::cell::Cell<bool>,
    complaints: Arc<Mutex<Vec<String>>>,
}

impl Page {
    pub fn new(tab: Arc<Tab>, context: Option<String>) -> Page {
        let complaints = Arc::new(Mutex::new(Vec::new()));
        let heard = complaints.clone();
        tab.add_event_listener(Arc::new(move |event: &Event| {
            if let Some(said) = complaint(event) {
                heard.lock().unwrap().push(said);
            }
        }))
        .unwrap();
        tab.enable_runtime().unwrap().enable_log().unwrap();
        let page = Page { tab, context, touched: false.into(), complaints };
        // What a page does only while somebody looks at it, it does here too.
        page.call(KeepFocus { enabled: true });
        page
    }

    pub fn context(&self) -> Option<String> {
        self.context.clone()
    }

    fn call<C>(&self, method: C) -> Value
    where
        C: headless_chrome::protocol::cdp::types::Method<ReturnObject = Value> + serde::Serialize + std::fmt::Debug,
    {
        self.tab.call_method(method).unwrap()
    }

    /// As on a processor this many times slower.
    #[allow(dead_code, reason = "the benchmark uses it, the tests do not")]
    pub fn slow_down(&self, times: u32) {
        self.call(SlowDown { rate: times });
    }

    pub fn on(self, screen: Screen) -> Page {
        self.turn(screen);
        self
    }

    pub fn turn(&self, screen: Screen) {
        let Screen { width, height, touched } = screen;
        self.call(ShowAs { width, height, device_scale_factor: 1, mobile: touched });
        self.call(Touchable { enabled: touched });
        self.touched.set(touched);
    }

    /// Errors in the console, of scripts and of the content policy, since this was asked last. What could not be
    /// loaded is none: these tests switch the server off.
    pub fn complaints(&self) -> Vec<String> {
        std::mem::take(&mut self.complaints.lock().unwrap())
    }

    /// What an expression comes to. Promises are waited for.
    pub fn value(&self, expression: &str) -> Value {
        self.try_value(expression).unwrap_or_else(|cause| panic!("{cause}\nin: {expression}"))
    }

    /// The same where the page may be going away meanwhile, or the expression may throw.
    pub fn try_value(&self, expression: &str) -> Result<Value, String> {
        let call = Evaluate {
            expression: expression.to_owned(),
            await_promise: true,
            return_by_value: true,
            user_gesture: true,
        };
        let answer = self.tab.call_method(call).map_err(|cause| cause.to_string())?;
        match answer.get("exceptionDetails") {
            None => Ok(answer["result"]["value"].clone()),
            Some(thrown) => Err(thrown["exception"]["description"].as_str().unwrap_or("it threw").to_owned()),
        }
    }

    pub fn is_so(&self, expression: &str) -> bool {
        self.try_value(expression).is_ok_and(|value| value == true)
    }

    pub fn until(&self, expression: &str) {
        self.until_so(expression, expression);
    }

    fn until_so(&self, what: &str, expression: &str) {
        let came = wait_for(|| self.is_so(expression).then_some(()));
        assert!(came.is_some(), "it never came about that {what}, at {}:\n{}", self.address(), self.text());
    }

    /// Waits until something that matches can be seen and holds these words.
    pub fn until_says(&self, selector: &str, words: &str) {
        let test = format!(
            "[...document.querySelectorAll({})].some((one) => one.checkVisibility() && one.textContent.replace(/\\s+/g, ' ').includes({}))",
            json!(selector),
            json!(words)
        );
        self.until_so(&format!("{selector} says ‘{words}’"), &test);
    }

    pub fn text(&self) -> String {
        self.try_value("document.body.innerText")
            .ok()
            .and_then(|text| text.as_str().map(str::to_owned))
            .unwrap_or_default()
    }

    pub fn address(&self) -> String {
        self.try_value("location.href").ok().and_then(|text| text.as_str().map(str::to_owned)).unwrap_or_default()
    }

    /// Opens an address and waits until it is there and its script has started everything.
    pub fn open(&self, url: &str) -> &Page {
        self.leave(|| {
            let went = self.call(Navigate { url: url.to_owned() });
            assert!(went.get("errorText").is_none(), "{url}: {}", went["errorText"]);
        });
        self.started();
        self
    }

    /// Why an address cannot be opened.
    pub fn refused(&self, url: &str) -> Option<String> {
        self.call(Navigate { url: url.to_owned() }).get("errorText").map(|text| text.as_str().unwrap().to_owned())
    }

    pub fn reload(&self) {
        self.leave(|| {
            self.value("location.reload()");
        });
        self.started();
    }

    /// Does something that leads to another page, and waits for that one.
    pub fn leave(&self, by: impl FnOnce()) {
        self.value("void (globalThis.isOld = true)");
        by();
        until("the next page comes", || self.is_so("!globalThis.isOld && document.readyState === 'complete'"));
    }

    /// Until the page's own script has run to its end: a module is evaluated once, so importing it again waits for it.
    fn started(&self) {
        let script = "document.querySelector('script[type=module][src]')?.src";
        until_some("the page’s script starts", || {
            match self.try_value(&format!("{script} && import({script}).then(() => true)")) {
                Ok(_) => Some(()),
                Err(cause) if cause.contains("context") || cause.contains("navigated") => None,
                Err(cause) => panic!("{cause}"),
            }
        });
    }

    /// Where something can be tapped: in the middle of the first that matches and can be seen.
    fn place(&self, selector: &str) -> (f64, f64) {
        let find = format!(
            "(() => {{
                const one = [...document.querySelectorAll({0})].find((one) => one.checkVisibility());
                if (!one) return 'nothing to see of';
                one.scrollIntoView({{ block: 'center', inline: 'center', behavior: 'instant' }});
                const {{ x, y, width, height }} = one.getBoundingClientRect();
                const at = [x + width / 2, y + height / 2];
                const hit = document.elementFromPoint(...at);
                if (!hit || !(one.contains(hit) || hit.contains(one))) return `${{hit?.outerHTML.slice(0, 200)}} lies over`;
                return at;
            }})()",
            json!(selector)
        );
        let mut last = Value::Null;
        let place = wait_for(|| {
            last = self.try_value(&find).unwrap_or_default();
            let at = last.as_array()?;
            Some((at[0].as_f64()?, at[1].as_f64()?))
        });
        place.unwrap_or_else(|| panic!("{last} {selector}, at {}:\n{}", self.address(), self.text()))
    }

    /// Taps, or clicks, in the middle of the first that matches and can be seen.
    pub fn tap(&self, selector: &str) {
        let (x, y) = self.place(selector);
        if self.touched.get() {
            self.call(Touch { r#type: "touchStart", touch_points: vec![json!({ "x": x, "y": y })] });
            self.call(Touch { r#type: "touchEnd", touch_points: Vec::new() });
            return;
        }
        for r#type in ["mousePressed", "mouseReleased"] {
            self.call(Mouse { r#type, x, y, button: "left", click_count: 1 });
        }
    }

    /// Taps something that leads to another page, and waits for that one.
    pub fn follow(&self, selector: &str) {
        self.leave(|| self.tap(selector));
        self.started();
    }

    /// Taps a field and types.
    pub fn write(&self, selector: &str, text: &str) {
        self.tap(selector);
        self.value(&format!("document.querySelector({}).focus()", json!(selector)));
        self.call(InsertText { text: text.to_owned() });
    }

    /// Presses a key, such as `Tab` or `Enter`.
    pub fn press(&self, key: &str) {
        self.tab.press_key(key).unwrap();
    }

    /// Chooses a file, as the camera would hand one over.
    pub fn choose_file(&self, selector: &str, file: &Path) {
        let found = self.call(FindObject { expression: format!("document.querySelector({})", json!(selector)) });
        let object_id = found["result"]["objectId"].as_str().unwrap_or_else(|| panic!("no {selector}")).to_owned();
        self.call(SetFiles { files: vec![file.display().to_string()], object_id });
    }

    /// Erases what this browser holds for the origin, of these kinds only.
    pub fn erase(&self, origin: &str, storage_types: &'static str) {
        self.call(ClearData { origin: origin.to_owned(), storage_types });
    }

    /// Closes the whole browser.
    pub fn close_browser(&self) {
        self.call(CloseBrowser {});
    }

    pub fn picture(&self) -> Vec<u8> {
        use base64::Engine;
        let taken = self.call(Capture { format: "png", capture_beyond_viewport: false });
        base64::engine::general_purpose::STANDARD.decode(taken["data"].as_str().unwrap()).unwrap()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        // The browser may be gone already.
        let _ = self.tab.close(false);
    }
}

/// What an event complains of.
fn complaint(event: &Event) -> Option<String> {
    match event {
        Event::RuntimeExceptionThrown(thrown) => {
            let details = &thrown.params.exception_details;
            let said = details.exception.as_ref().and_then(|one| one.description.clone());
            Some(format!("thrown: {}", said.unwrap_or_else(|| details.text.clone())))
        }
        Event::RuntimeConsoleAPICalled(called) => {
            let call = serde_json::to_value(&called.params).unwrap();
            (call["type"] == "error" || call["type"] == "assert").then(|| format!("console: {}", call["args"]))
        }
        Event::LogEntryAdded(added) => {
            let entry = serde_json::to_value(&added.params.entry).unwrap();
            (entry["level"] == "error" && entry["source"] != "network").then(|| format!("log: {entry}"))
        }
        _ => None,
    }
}
