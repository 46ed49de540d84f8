//! The local page: who may ask, what cannot be reached, what is never lost. None of it needs a browser; `.ci/page` looks at the page in one.

use coatday::System;
use coatday::scenario::edit::{Edit, edited};
use coatday::scenario::form::{Control, Field, GROUPS, form};
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

const TOKEN: &str = "x-coatday-token";

/// A page that is served until the end of a test.
struct Served {
    child: Child,
    port: u16,
    token: String,
}

impl Served {
    fn new(folder: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_coatday"))
            .args(["serve", "--no-open"])
            .arg(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it starts");
        let mut line = String::new();
        let out = child.stdout.take().expect("piped");
        BufReader::new(out)
            .read_line(&mut line)
            .expect("an address");
        let rest = line
            .trim()
            .strip_prefix("http://127.0.0.1:")
            .expect("loopback");
        let (port, token) = rest.split_once("/#").expect("a token behind #");
        Self {
            port: port.parse().expect("a port"),
            token: token.to_owned(),
            child,
        }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream
            .set_read_timeout(Some(Duration::from_secs(30)))
            .expect("set");
        stream
    }

    /// Status and body of an answer to a request as it stands.
    fn raw(&self, request: &str) -> (u16, String) {
        let mut stream = self.connect();
        // A refusal may come before all is sent.
        let _ = stream.write_all(request.as_bytes());
        answer(&mut stream)
    }

    fn request(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &str,
    ) -> (u16, String) {
        let mut text = format!(
            "{method} {path} HTTP/1.1\r\nconnection: close\r\ncontent-length: {}\r\n",
            body.len()
        );
        for (name, value) in headers {
            text += &format!("{name}: {value}\r\n");
        }
        self.raw(&(text + "\r\n" + body))
    }

    fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// As the page itself asks.
    fn ask(&self, path: &str, body: Option<&Value>) -> (u16, Value) {
        let host = self.host();
        let origin = format!("http://{host}");
        let mut headers = vec![("host", host.as_str()), (TOKEN, &self.token)];
        let text = body.map(Value::to_string).unwrap_or_default();
        if body.is_some() {
            headers.extend([
                ("origin", origin.as_str()),
                ("content-type", "application/json"),
            ]);
        }
        let method = if body.is_some() { "POST" } else { "GET" };
        let (status, body) = self.request(method, path, &headers, &text);
        (
            status,
            serde_json::from_str(&body).unwrap_or(Value::String(body)),
        )
    }

    fn is_alive(&self) {
        assert_eq!(self.ask("/api/jobs", None).0, 200);
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn answer(stream: &mut TcpStream) -> (u16, String) {
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let status = text.split(' ').nth(1).and_then(|code| code.parse().ok());
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let body = if head.to_lowercase().contains("transfer-encoding: chunked") {
        unchunked(body)
    } else {
        body.to_owned()
    };
    (status.unwrap_or(0), body)
}

fn unchunked(mut text: &str) -> String {
    let mut out = String::new();
    while let Some((length, rest)) = text.split_once("\r\n") {
        let length = usize::from_str_radix(length.trim(), 16).unwrap_or(0);
        if length == 0 {
            break;
        }
        out += rest.get(..length).unwrap_or(rest);
        text = rest.get(length + 2..).unwrap_or("");
    }
    out
}

fn scenario(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join(name);
    std::fs::read_to_string(path).expect("shipped")
}

fn folder_with(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}

#[test]
fn only_the_page_itself_is_answered() {
    let folder = folder_with(&[("job.json", &scenario("winter_warehouse.json"))]);
    let page = Served::new(folder.path());
    let (host, token) = (page.host(), page.token.clone());
    let own = format!("http://{host}");
    let get = |headers: &[(&str, &str)]| page.request("GET", "/api/jobs", headers, "").0;
    assert_eq!(get(&[("host", &host), (TOKEN, &token)]), 200);
    // Another name for this computer, as DNS rebinding gives it.
    let port = page.port;
    for other in [
        format!("evil.example:{port}"),
        "127.0.0.1".into(),
        format!("127.0.0.1:{}", port ^ 1),
        String::new(),
    ] {
        assert_eq!(get(&[("host", &other), (TOKEN, &token)]), 421, "{other}");
        assert_eq!(
            page.request("GET", "/", &[("host", &other)], "").0,
            421,
            "{other}"
        );
    }
    assert_ne!(
        page.request("GET", "/api/jobs", &[(TOKEN, &token)], "").0,
        200
    );
    // Another site, and a site that hides its name.
    for other in [
        "http://evil.example",
        "null",
        "https://127.0.0.1",
        &format!("http://127.0.0.1:{}", port ^ 1),
        &format!("https://{host}"),
    ] {
        assert_eq!(
            get(&[("host", &host), ("origin", other), (TOKEN, &token)]),
            403,
            "{other}"
        );
    }
    assert_eq!(
        get(&[("host", &host), ("origin", &own), (TOKEN, &token)]),
        200
    );
    // No token, another, one that is too short or too long.
    let mut flipped = token.clone();
    let last = flipped.pop();
    flipped.push(if last == Some('0') { '1' } else { '0' });
    for wrong in ["", "0", &flipped, &token[1..], &format!("{token}0")] {
        assert_eq!(get(&[("host", &host), (TOKEN, wrong)]), 401, "{wrong}");
    }
    assert_eq!(get(&[("host", &host)]), 401);
    for path in [
        "/api/draft",
        "/api/save",
        "/api/answer",
        "/api/new",
        "/api/report/report.pdf",
        "/api/pocket",
    ] {
        let headers = [
            ("host", host.as_str()),
            ("content-type", "application/json"),
        ];
        assert_eq!(page.request("POST", path, &headers, "{}").0, 401, "{path}");
    }
    assert_eq!(
        page.request(
            "DELETE",
            "/api/jobs",
            &[("host", &host), (TOKEN, &token)],
            ""
        )
        .0,
        405
    );
    assert_eq!(token.len(), 64);
    page.is_alive();
}

#[test]
fn every_answer_carries_the_policy() {
    let folder = folder_with(&[]);
    let page = Served::new(folder.path());
    for path in ["/", "/app.js", "/look.css", "/api/jobs", "/none"] {
        let mut stream = page.connect();
        let request = format!(
            "GET {path} HTTP/1.1\r\nhost: {}\r\nconnection: close\r\n\r\n",
            page.host()
        );
        stream.write_all(request.as_bytes()).expect("sent");
        let mut text = String::new();
        stream.read_to_string(&mut text).expect("an answer");
        let head = text.split("\r\n\r\n").next().unwrap_or_default();
        assert!(
            head.contains(
                "content-security-policy: default-src 'none'; script-src 'self'; style-src 'self'"
            ),
            "{path}: {head}"
        );
        assert!(!head.contains("unsafe"), "{path}");
        assert!(
            head.contains("x-content-type-options: nosniff")
                && head.contains("cache-control: no-store"),
            "{path}"
        );
        assert!(
            !head.to_lowercase().contains("access-control-allow"),
            "{path}"
        );
    }
    // No script and no style stand in the page itself.
    let (_, html) = page.request("GET", "/", &[("host", &page.host())], "");
    assert!(html.contains("<script type=\"module\" src=\"/app.js\"></script>"));
    assert_eq!(html.matches("<script").count(), 1);
    assert!(
        !html.contains("<style") && !html.contains("style=") && !html.contains(" on"),
        "{html}"
    );
}

#[test]
fn nothing_outside_of_the_folder_is_reached() {
    let outside = folder_with(&[("secret.json", "{\"setups\": \"secret-word\"}")]);
    let folder = folder_with(&[("job.json", &scenario("winter_warehouse.json"))]);
    #[cfg(unix)]
    std::os::unix::fs::symlink(
        outside.path().join("secret.json"),
        folder.path().join("link.json"),
    )
    .expect("a link");
    std::fs::create_dir(folder.path().join("below.json")).expect("made");
    std::fs::write(folder.path().join(".hidden.json"), "{}").expect("written");
    let page = Served::new(folder.path());
    let far = outside.path().join("secret.json");
    let far = far.to_string_lossy();
    let names = [
        "../secret.json",
        "..%2Fsecret.json",
        "..\\secret.json",
        "/etc/passwd",
        &far,
        "below.json",
        "link.json",
        ".hidden.json",
        "job.json/",
        "./job.json",
        "job.json%00.json",
        "job",
        "",
        ".json",
        "none.json",
        "C:job.json",
        "job.json\n.json",
    ];
    for name in names {
        let coded = name.bytes().fold(String::new(), |mut all, byte| {
            all += &format!("%{byte:02x}");
            all
        });
        let (status, body) = page.ask(&format!("/api/job?file={coded}"), None);
        assert!(status == 404 || status == 422, "{name}: {status} {body}");
        assert!(!body.to_string().contains("secret-word"), "{name}");
        let text = scenario("winter_warehouse.json");
        let (status, _) = page.ask(
            "/api/save",
            Some(&json!({ "file": name, "base": "", "text": text })),
        );
        assert!(status == 409 || status == 422, "{name}: {status}");
        let (status, body) = page.ask(
            "/api/show/compare",
            Some(&json!({ "file": name, "text": "{}" })),
        );
        assert_ne!(status, 200, "{name}: {body}");
    }
    assert!(
        !folder.path().join("none.json").exists(),
        "a draft of no file makes none"
    );
    // A scenario from a stranger names files elsewhere.
    std::fs::write(outside.path().join("air.csv"), "secret-word\n").expect("written");
    let air = outside.path().join("air.csv");
    #[cfg(unix)]
    std::os::unix::fs::symlink(&air, folder.path().join("air.csv")).expect("a link");
    for weather in [
        "../air.csv",
        &air.to_string_lossy(),
        "air.csv",
        "/etc/passwd",
        "./../x/air.csv",
    ] {
        let edit = Edit {
            path: "site.weather".into(),
            value: json!({ "hourly_csv": { "file": weather } }),
        };
        let text = edited(&scenario("winter_warehouse.json"), &edit).expect("edited");
        for path in [
            "/api/show/compare",
            "/api/readings",
            "/api/today",
            "/api/report/letter.txt",
            "/api/pocket",
        ] {
            let (status, body) = page.ask(path, Some(&json!({ "file": "job.json", "text": text })));
            assert_eq!(status, 422, "{weather} {path}: {body}");
            let body = body.to_string();
            assert!(
                body.contains("site.weather") && !body.contains("secret-word"),
                "{body}"
            );
        }
    }
    let edit = Edit {
        path: "document".into(),
        value: json!({ "logo": air.to_string_lossy() }),
    };
    let text = edited(&scenario("winter_warehouse.json"), &edit).expect("edited");
    let (status, body) = page.ask(
        "/api/report/letter.txt",
        Some(&json!({ "file": "job.json", "text": text })),
    );
    assert!(
        status == 422 && body.to_string().contains("document.logo"),
        "{body}"
    );
    page.is_alive();
}

#[test]
fn large_slow_and_many_requests_leave_the_page_alive() {
    let folder = folder_with(&[]);
    let page = Served::new(folder.path());
    let (host, token) = (page.host(), page.token.clone());
    let head = format!(
        "POST /api/draft HTTP/1.1\r\nhost: {host}\r\n{TOKEN}: {token}\r\ncontent-type: application/json\r\n"
    );
    // 100 MB as announced, and in pieces without saying so.
    let (status, _) = page.raw(&format!(
        "{head}content-length: 100000000\r\n\r\n{}",
        "x".repeat(100_000)
    ));
    assert_eq!(status, 413);
    let mut stream = page.connect();
    let sent = stream.write_all(format!("{head}transfer-encoding: chunked\r\n\r\n").as_bytes());
    let piece = format!("{:x}\r\n{}\r\n", 1 << 20, "x".repeat(1 << 20));
    let pieces = sent.map(|()| {
        (0..100)
            .take_while(|_| stream.write_all(piece.as_bytes()).is_ok())
            .count()
    });
    assert!(pieces.expect("it begins") < 100, "not all of it is taken");
    page.is_alive();
    // Heads that never end and bodies that never come, beside two hundred connections that say nothing.
    let idle: Vec<TcpStream> = (0..200).map(|_| page.connect()).collect();
    let mut slow = page.connect();
    slow.write_all(b"GET /api/jobs HTTP/1.1\r\nhost: ")
        .expect("sent");
    let mut waiting = page.connect();
    waiting
        .write_all(format!("{head}content-length: 10\r\n\r\n{{").as_bytes())
        .expect("sent");
    page.is_alive();
    // A head that has not come within ten seconds is not waited for.
    let mut rest = Vec::new();
    let ended = slow.read_to_end(&mut rest);
    assert!(
        ended.is_ok() && !String::from_utf8_lossy(&rest).contains("200 OK"),
        "{ended:?}"
    );
    drop(idle);
    let (status, _) = page.raw(&format!(
        "GET /{} HTTP/1.1\r\nhost: {host}\r\n\r\n",
        "a".repeat(200_000)
    ));
    assert_ne!(status, 200);
    page.is_alive();
}

#[test]
fn a_script_in_any_text_stays_text() {
    const SCRIPT: &str = "</script><img src=x onerror=alert(1)><script>alert(2)</script>\"'>";
    // The name of a place is short.
    const PLACE: &str = "<img src=x onerror=alert(1)>\"'";
    let folder = folder_with(&[("job.json", "{}")]);
    let page = Served::new(folder.path());
    let mut text = scenario("wash_first.json");
    for path in [
        "name",
        "note",
        "setups[0].name",
        "setups[0].note",
        "walk.areas[0].note",
        "document.company",
        "document.prepared_for",
        "document.address",
    ] {
        let edit = Edit {
            path: path.into(),
            value: json!(format!("{SCRIPT} {path}")),
        };
        text = edited(&text, &edit).expect(path);
    }
    let asked = json!({ "file": "job.json", "text": text, "samples": 0 });
    let harmless = |html: &str, where_: &str| {
        assert!(!html.contains("<img src=x"), "{where_}");
        assert!(!html.contains("<script>alert"), "{where_}");
    };
    for path in [
        "/api/draft",
        "/api/show/prep",
        "/api/readings",
        "/api/walk",
        "/api/report/preview",
        "/api/report/report.html",
        "/api/pocket",
    ] {
        let mut asked = asked.clone();
        if path == "/api/draft" {
            asked["whole"] = json!(true);
        }
        let (status, body) = page.ask(path, Some(&asked));
        assert_eq!(status, 200, "{path}: {body}");
        match body {
            Value::String(html) => harmless(&html, path),
            body => {
                let html = ["html", "form"]
                    .iter()
                    .filter_map(|key| body[*key].as_str());
                let mut seen = 0;
                for html in html {
                    harmless(html, path);
                    seen += html.len();
                }
                assert!(seen > 0, "{path} has HTML");
            }
        }
    }
    // As the value of a quantity, a date, a word and a kind: a fault at its field, as text.
    for path in [
        "slab.area",
        "slab.placed",
        "slab.finish",
        "slab.underside",
        "gear_on",
        "setups[0].gear",
    ] {
        let edits = json!([{ "path": path, "value": SCRIPT }]);
        let asked = json!({ "file": "job.json", "text": scenario("winter_warehouse.json"), "edits": edits, "whole": true });
        let (status, body) = page.ask("/api/draft", Some(&asked));
        assert_eq!(status, 200, "{path}: {body}");
        assert!(body["faults"].as_u64() > Some(0), "{path}");
        harmless(body["form"].as_str().expect("a form"), path);
    }
    // In the file's name and in a reading.
    let (_, body) = page.ask("/api/new", Some(&json!({ "typed": { "file": SCRIPT } })));
    assert!(body["faults"]["file"].is_string(), "{body}");
    let typed = json!({ "place": PLACE, "method": "probe", "value": "84 %", "depth": "2 in", "note": SCRIPT });
    let asked =
        json!({ "file": "job.json", "text": scenario("winter_warehouse.json"), "typed": typed });
    let (status, body) = page.ask("/api/readings", Some(&asked));
    assert_eq!(status, 200, "{body}");
    harmless(body["html"].as_str().expect("judged"), "readings");
    page.is_alive();
}

#[test]
fn two_writers_never_write_over_each_other() {
    let first = scenario("winter_warehouse.json");
    let folder = folder_with(&[("job.json", &first)]);
    let page = Served::new(folder.path());
    let path = folder.path().join("job.json");
    let save = |base: &str, text: &str| {
        page.ask(
            "/api/save",
            Some(&json!({ "file": "job.json", "base": base, "text": text })),
        )
    };
    let mine = first.replace("5,000", "5,001") + "\n";
    assert_eq!(save(&first, &mine).0, 200);
    assert_eq!(std::fs::read_to_string(&path).expect("there"), mine);
    // A tab that still has the first text.
    let (status, body) = save(&first, &first);
    assert_eq!(status, 409);
    assert_eq!(
        body["now"],
        json!(mine),
        "what stands in the file comes back"
    );
    assert_eq!(std::fs::read_to_string(&path).expect("there"), mine);
    // A file that is gone is not made again behind its owner's back.
    std::fs::remove_file(&path).expect("removed");
    assert_eq!(save(&mine, &first).0, 409);
    assert!(!path.exists());
    assert_eq!(
        std::fs::read_dir(folder.path()).expect("there").count(),
        0,
        "nothing is left behind"
    );
    // Twenty at once from one text: one of them is written.
    std::fs::write(&path, &first).expect("written");
    let won = std::thread::scope(|scope| {
        let tabs: Vec<_> = (0..20)
            .map(|n| {
                let (save, first) = (&save, &first);
                scope.spawn(move || save(first, &format!("{first}\n// {n}\n")).0 == 200)
            })
            .collect();
        tabs.into_iter()
            .filter(|_| true)
            .map(|tab| tab.join().expect("ends"))
            .filter(|won| *won)
            .count()
    });
    assert_eq!(won, 1);
}

/// Every field from the top down.
fn each<'f>(fields: &'f [Field], to: &mut dyn FnMut(&'f Field)) {
    for field in fields {
        to(field);
        match &field.control {
            Control::Kind { fields, .. } | Control::Object { fields, .. } => each(fields, to),
            Control::List { entries, .. } => each(entries, to),
            _ => {}
        }
    }
}

fn shipped() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let entries = std::fs::read_dir(folder).expect("there").flatten();
    let names = entries.map(|entry| entry.file_name().to_string_lossy().into_owned());
    let jobs = names.filter(|name| Path::new(name).extension().is_some_and(|end| end == "json"));
    jobs.map(|name| (scenario(&name), name))
        .map(|(text, name)| (name, text))
        .collect()
}

#[test]
fn every_shipped_scenario_goes_through_the_form_unchanged() {
    let all = shipped();
    assert!(all.len() > 8);
    for (name, text) in all {
        let made = form(&text, &name).expect("JSON");
        assert!(made.faults.is_empty());
        let mut seen = 0;
        for group in &made.groups {
            each(&group.fields, &mut |field| {
                // What a field shows, written back, changes nothing that counts.
                if let (true, Control::Text { text: shown, .. }) = (field.given, &field.control) {
                    let tree: Value = serde_json::from_str(
                        &serde_json::to_string(&coatday::scenario::read(&text, "").expect("good"))
                            .expect("JSON"),
                    )
                    .expect("JSON");
                    let pointer =
                        format!("/{}", field.path.replace(['.', '['], "/").replace(']', ""));
                    let value = match tree.pointer(&pointer) {
                        Some(Value::Number(number)) => json!(number),
                        _ => json!(shown),
                    };
                    let after = edited(
                        &text,
                        &Edit {
                            path: field.path.clone(),
                            value,
                        },
                    )
                    .expect(&field.path);
                    let (a, b) = (
                        coatday::scenario::read(&text, "").expect("good"),
                        coatday::scenario::read(&after, "")
                            .unwrap_or_else(|f| panic!("{}: {f}", field.path)),
                    );
                    assert_eq!(a, b, "{name}: {}", field.path);
                    assert_eq!(
                        after.lines().count(),
                        text.lines().count(),
                        "{name}: {}",
                        field.path
                    );
                    seen += 1;
                }
            });
        }
        assert!(seen > 5, "{name}: {seen}");
    }
}

#[test]
fn an_edit_changes_its_own_place_and_nothing_else() {
    let text = "{\n  // Poured early.\n  \"Name\": \"A\",\n  \"slab\": { \"thickness\": \"5 in\",   \"area\": \"2000 ft2\" },\n  \"setups\": [ { \"name\": \"x\", \"gear\": [] } ]\n}\n";
    let edit = |path: &str, value: Value| {
        edited(
            text,
            &Edit {
                path: path.into(),
                value,
            },
        )
    };
    assert_eq!(
        edit("slab.thickness", json!("6 in")).expect("there"),
        text.replace("5 in", "6 in")
    );
    // As it is spelt in the text.
    assert_eq!(
        edit("name", json!("B")).expect("there"),
        text.replace("\"A\"", "\"B\"")
    );
    let more = edit("setups[+]", json!({ "name": "y", "gear": [] })).expect("a list");
    assert!(
        more.contains("// Poured early.") && more.contains("\"y\""),
        "{more}"
    );
    let less = edit("slab.area", Value::Null).expect("there");
    assert!(
        !less.contains("area") && less.contains("\"5 in\""),
        "{less}"
    );
    let new = edit("room.height", json!("12 ft")).expect("made on the way");
    let new: Value = coatday_json(&new);
    assert_eq!(new["room"]["height"], json!("12 ft"));
    for lost in [
        "",
        ".",
        "slab..area",
        "slab[0]",
        "setups[7]",
        "setups[x]",
        "setups[+].name",
        "name.x",
        "setups[0",
        "slab.thickness[+]",
    ] {
        assert!(edit(lost, json!("1")).is_err(), "{lost}");
    }
    // Words from a stranger stay one string.
    let odd = "\"}, \"x\": \"\\u0000\u{202e}";
    let kept = edit("name", json!(odd)).expect("there");
    assert_eq!(coatday_json(&kept)["Name"], json!(odd));
}

/// A text without its comments.
fn coatday_json(text: &str) -> Value {
    let bare: Vec<&str> = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect();
    serde_json::from_str(&bare.join("\n")).expect("JSON")
}

#[test]
fn every_key_of_the_declaration_has_its_field_in_a_group() {
    let made = form(&scenario("winter_warehouse.json"), "").expect("JSON");
    let names: Vec<&str> = made
        .groups
        .iter()
        .map(|group| group.name.as_str())
        .collect();
    assert_eq!(names, GROUPS);
    let schema = coatday::scenario::schema();
    let properties = schema["properties"].as_object().expect("keys");
    for (key, property) in properties.iter().filter(|(key, _)| *key != "$schema") {
        let group = property["x-group"]
            .as_str()
            .unwrap_or_else(|| panic!("{key} says no group"));
        let group = made.groups.iter().find(|of| of.name == group);
        let field = group.and_then(|of| of.fields.iter().find(|field| field.path == *key));
        assert!(field.is_some(), "{key}");
    }
}

#[test]
fn a_fault_stands_at_its_field_in_the_words_of_the_terminal() {
    let text = scenario("winter_warehouse.json");
    let edits = [
        ("slab.thickness", json!("5")),
        ("slab.placed", json!("tomorrow")),
        ("setups[0].gear", json!([{ "fan": { "class": "none" } }])),
    ];
    let mut wrong = text;
    for (path, value) in edits {
        wrong = edited(
            &wrong,
            &Edit {
                path: path.into(),
                value,
            },
        )
        .expect(path);
    }
    let faults = coatday::scenario::read(&wrong, "job.json")
        .expect_err("faulty")
        .faults;
    let made = form(&wrong, "job.json").expect("JSON");
    let mut told = Vec::new();
    for group in &made.groups {
        each(&group.fields, &mut |field| {
            told.extend(
                field
                    .faults
                    .iter()
                    .map(|text| (field.path.as_str(), text.as_str())),
            );
        });
    }
    assert_eq!(told.len(), faults.len());
    for fault in &faults {
        let words = format!("{} {}", fault.message, fault.help);
        assert!(
            told.contains(&(fault.path.as_str(), words.trim_end())),
            "{}: {words}\n{told:?}",
            fault.path
        );
    }
}

#[test]
fn the_dew_points_of_the_pocket_file_are_those_of_the_library() {
    use coatday::units::format::{Shown, fine_temperature};
    use coatday::units::{Kind, parse};
    let margin = 3.0;
    for (system, unit) in [(System::Us, "degF"), (System::Si, "degC")] {
        let table = coatday::page::pocket::table(margin, system);
        let (from, steps) = (
            table["from"].as_i64().expect("a number"),
            table["steps"].as_i64().expect("a number"),
        );
        let rows = table["rows"].as_array().expect("rows");
        let celsius = |at: i64| {
            parse(
                Kind::Temperature,
                &format!("{} {unit}", at as f64 / steps as f64),
            )
            .expect("good")
            .si()
        };
        for (row, at) in rows.iter().zip(from..) {
            let dew: Vec<&str> = row[0].as_str().expect("text").split(' ').collect();
            let least = row[1].as_array().expect("a list");
            assert_eq!((dew.len(), least.len()), (100, 100));
            for (percent, (dew, least)) in (1..).zip(dew.iter().zip(least)) {
                let air = coatday::air::MoistAir::from_relative_humidity(
                    celsius(at),
                    f64::from(percent) / 100.0,
                    coatday::air::STANDARD_PRESSURE,
                );
                let point = air.condensation_point();
                let sign = Shown::of(Kind::Temperature, system).unit();
                assert_eq!(
                    format!("{dew}\u{a0}{sign}"),
                    fine_temperature(point, system),
                    "{at} {percent}"
                );
                let least = least.as_i64().expect("a number");
                assert!(
                    celsius(least) - point >= margin && celsius(least - 1) - point < margin,
                    "{at} {percent}"
                );
            }
        }
    }
}

#[test]
fn a_comparison_in_steps_ends_with_the_answer_of_compare() {
    use coatday::{Answer, Sampling};
    let job =
        coatday::open(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/showroom_plan.json"))
            .expect("shipped");
    let sampling = Sampling {
        samples: 10,
        seed: 1,
    };
    let told = std::cell::RefCell::new(Vec::new());
    coatday::compare_watched(
        &job,
        sampling,
        &|found, step| told.borrow_mut().push((found.data(), step)),
        &|| true,
    );
    let told = told.into_inner();
    let (last, step) = told.last().expect("told");
    assert!(step.last);
    assert_eq!(*last, coatday::compare(&job, sampling).data());
    let sampled: Vec<usize> = told.iter().map(|(_, step)| step.sampled).collect();
    assert_eq!(sampled, [0, 0, 4, 8, 10, 10]);
    // Whoever has gone is not computed for.
    let count = std::cell::Cell::new(0);
    coatday::compare_watched(&job, sampling, &|_, _| count.set(count.get() + 1), &|| {
        false
    });
    assert_eq!(count.get(), 1);
}
