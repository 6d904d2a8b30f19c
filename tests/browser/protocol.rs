//! The calls of the browser's own protocol that are used here, with only the members that are used: the browser may
//! be newer than the library, so answers are read as plain JSON.

use headless_chrome::protocol::cdp::types::Method;
use serde::Serialize;
use serde_json::Value;

macro_rules! calls {
    ($($name:ident $method:literal { $($member:ident: $kind:ty),* })*) => {$(
        #[derive(Debug, Serialize)]
        #[serde(rename_all = "camelCase")]
        pub struct $name { $(pub $member: $kind),* }
        impl Method for $name {
            const NAME: &'static str = $method;
            type ReturnObject = Value;
        }
    )*};
}

calls! {
    Navigate "Page.navigate" { url: String }
    Evaluate "Runtime.evaluate" { expression: String, await_promise: bool, return_by_value: bool, user_gesture: bool }
    ShowAs "Emulation.setDeviceMetricsOverride" { width: u32, height: u32, device_scale_factor: u32, mobile: bool }
    SlowDown "Emulation.setCPUThrottlingRate" { rate: u32 }
    Touchable "Emulation.setTouchEmulationEnabled" { enabled: bool }
    KeepFocus "Emulation.setFocusEmulationEnabled" { enabled: bool }
    Touch "Input.dispatchTouchEvent" { r#type: &'static str, touch_points: Vec<Value> }
    Mouse "Input.dispatchMouseEvent" { r#type: &'static str, x: f64, y: f64, button: &'static str, click_count: u32 }
    InsertText "Input.insertText" { text: String }
    FindObject "Runtime.evaluate" { expression: String }
    SetFiles "DOM.setFileInputFiles" { files: Vec<String>, object_id: String }
    ClearData "Storage.clearDataForOrigin" { origin: String, storage_types: &'static str }
    CloseBrowser "Browser.close" {}
    Capture "Page.captureScreenshot" { format: &'static str, capture_beyond_viewport: bool }
}
