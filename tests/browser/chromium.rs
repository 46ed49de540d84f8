//! A browser without a window, spoken to over the protocol of its tools.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::stream::MaybeTlsStream;
use tungstenite::{Message, WebSocket};

/// Longest wait for anything.
const PATIENCE: Duration = Duration::from_mins(3);

/// One tab of a browser of its own.
pub(crate) struct Tab {
    child: Child,
    _profile: tempfile::TempDir,
    socket: WebSocket<MaybeTlsStream<TcpStream>>,
    session: String,
    last: u64,
    /// Errors on the console, and requests to anywhere but this computer.
    pub(crate) wrong: Vec<String>,
    /// Whether faults that a test asks for are passed over, such as a refused save.
    pub(crate) lenient: bool,
}

impl Tab {
    /// The program of `CHROMIUM`, else that of the system.
    pub(crate) fn new() -> Self {
        let program = std::env::var("CHROMIUM").unwrap_or_else(|_| "chromium".into());
        let profile = tempfile::tempdir().expect("a folder");
        let mut child = Command::new(program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--hide-scrollbars",
                "--disable-background-networking",
            ])
            .args([
                "--disable-component-update",
                "--no-first-run",
                "--remote-debugging-port=0",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("Chromium starts");
        let told = BufReader::new(child.stderr.take().expect("piped"));
        let mut lines = told.lines();
        let address = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| Some(line.split_once("listening on ")?.1.trim().to_owned()))
            .expect("the address of its tools");
        // What it says from here on is of no use, but the pipe must not fill.
        std::thread::spawn(move || lines.for_each(drop));
        let (socket, _) = tungstenite::connect(address).expect("its tools answer");
        let mut tab = Self {
            child,
            _profile: profile,
            socket,
            session: String::new(),
            last: 0,
            wrong: Vec::new(),
            lenient: false,
        };
        let target = tab.send("Target.createTarget", &json!({ "url": "about:blank" }));
        let attached = tab.send(
            "Target.attachToTarget",
            &json!({ "targetId": target["targetId"], "flatten": true }),
        );
        attached["sessionId"]
            .as_str()
            .expect("a session")
            .clone_into(&mut tab.session);
        for domain in ["Page", "Runtime", "Log", "Network"] {
            tab.send(&format!("{domain}.enable"), &json!({}));
        }
        tab
    }

    /// Asks the browser for something and waits for its answer; what happens meanwhile is looked at.
    pub(crate) fn send(&mut self, method: &str, parameters: &Value) -> Value {
        self.last += 1;
        let mut message = json!({ "id": self.last, "method": method, "params": parameters });
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        self.socket
            .send(Message::text(message.to_string()))
            .expect("sent");
        loop {
            let Ok(Message::Text(text)) = self.socket.read() else {
                continue;
            };
            let found: Value = serde_json::from_str(&text).expect("JSON");
            if found["id"] == json!(self.last) {
                assert!(found["error"].is_null(), "{method}: {}", found["error"]);
                return found["result"].clone();
            }
            self.note(&found);
        }
    }

    fn note(&mut self, event: &Value) {
        let parameters = &event["params"];
        let text = match event["method"].as_str() {
            Some("Runtime.exceptionThrown") => parameters["exceptionDetails"].to_string(),
            Some("Runtime.consoleAPICalled") if parameters["type"] == "error" => {
                parameters["args"].to_string()
            }
            Some("Log.entryAdded") if parameters["entry"]["level"] == "error" => {
                parameters["entry"].to_string()
            }
            Some("Network.requestWillBeSent") => {
                let address = parameters["request"]["url"].as_str().unwrap_or_default();
                let own = ["http://127.0.0.1:", "data:", "blob:", "file:", "about:"];
                if own.iter().any(|own| address.starts_with(own)) {
                    return;
                }
                format!("asks {address}")
            }
            _ => return,
        };
        if !self.lenient || !text.contains("Failed to load resource") {
            self.wrong.push(text);
        }
    }

    /// The value of an expression; a promise is waited for.
    pub(crate) fn value(&mut self, expression: &str) -> Value {
        let asked =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let found = self.send("Runtime.evaluate", &asked);
        assert!(
            found["exceptionDetails"].is_null(),
            "{expression}: {}",
            found["exceptionDetails"]
        );
        found["result"]["value"].clone()
    }

    pub(crate) fn text(&mut self, expression: &str) -> String {
        self.value(expression)
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Waits until an expression holds. Gives the time.
    pub(crate) fn until(&mut self, expression: &str) -> Duration {
        let start = Instant::now();
        while self.value(&format!("Boolean({expression})")) != json!(true) {
            assert!(
                start.elapsed() < PATIENCE,
                "never: {expression}\n{}",
                self.text("document.body.innerText.slice(0, 2000)")
            );
            std::thread::sleep(Duration::from_millis(15));
        }
        start.elapsed()
    }

    pub(crate) fn open(&mut self, address: &str) {
        self.send("Page.navigate", &json!({ "url": address }));
        self.until("document.readyState === 'complete'");
    }

    pub(crate) fn size(&mut self, width: u32, height: u32) {
        let asked = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600 });
        self.send("Emulation.setDeviceMetricsOverride", &asked);
    }

    /// Types into the field that a selector finds, key by key.
    pub(crate) fn type_into(&mut self, selector: &str, text: &str) {
        self.until(&format!("document.querySelector({selector:?})"));
        self.value(&format!("(() => {{ const f = document.querySelector({selector:?}); f.closest('details')?.setAttribute('open', ''); f.focus(); f.select?.(); }})()"));
        for c in text.chars() {
            self.send("Input.insertText", &json!({ "text": c.to_string() }));
        }
    }

    /// Presses what a selector finds.
    pub(crate) fn press(&mut self, selector: &str) {
        self.until(&format!("document.querySelector({selector:?})"));
        self.value(&format!("document.querySelector({selector:?}).click()"));
    }

    pub(crate) fn picture(&mut self, file: &Path) {
        use base64::Engine as _;
        let found = self.send("Page.captureScreenshot", &json!({ "format": "png" }));
        let bytes = base64::engine::general_purpose::STANDARD
            .decode(found["data"].as_str().expect("a picture"))
            .expect("base64");
        std::fs::write(file, bytes).expect("written");
    }
}

impl Drop for Tab {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
