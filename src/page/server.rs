//! Listening, connections, routes, and the files of the page.

use super::folder::{EXAMPLES, Folder, example_name};
use super::guard::{self, guard};
use super::refusal::Refusal;
use super::shared::Shared;
use super::{answer, draft, new_job, pages, slab, walk};
use crate::units::System;
use axum::extract::{Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router, middleware};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use serde::Deserialize;
use serde_json::{Value, json};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

/// Connections at a time. More wait until one is closed.
const MOST_CONNECTIONS: usize = 256;
/// Computations at a time: the one that is wanted, and one that has not noticed yet that it is not.
const MOST_COMPUTING: usize = 2;
/// Longest time for the head of a request, and for a connection to lie idle.
const HEAD_PATIENCE: Duration = Duration::from_secs(10);

/// What is served, and to whom.
#[derive(Clone, Debug)]
pub(crate) struct Options {
    /// The folder of the jobs.
    pub(crate) folder: PathBuf,
    /// The port; one that is free if it is 0.
    pub(crate) port: u16,
    /// Whether other machines on the local network may ask.
    pub(crate) phone: bool,
    /// Units until the page asks for others.
    pub(crate) system: System,
}

/// Where the page is.
#[derive(Clone, Debug)]
pub(crate) struct Served {
    /// Its address for this computer, with the token.
    pub(crate) here: String,
    /// Its address for a phone, with the token.
    pub(crate) phone: Option<String>,
    /// The folder in words.
    pub(crate) folder: String,
}

/// The address of this computer on the local network. No packet is sent: the system says which way one would go.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // A documentation address (RFC 5737).
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_loopback() && !address.is_unspecified()).then_some(address)
}

/// Serves a folder until Ctrl-C. `ready` is told where.
///
/// # Errors
/// A folder that cannot be opened, a port that is taken, no address on a local network.
pub(crate) fn serve(options: &Options, ready: &dyn Fn(&Served)) -> Result<(), String> {
    let folder = Folder::new(&options.folder)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|e| format!("The page cannot be served: {e}."))?;
    let ended = runtime.block_on(run(options, folder, ready));
    // A computation that nobody waits for does not hold up the end.
    runtime.shutdown_background();
    ended
}

async fn run(options: &Options, folder: Folder, ready: &dyn Fn(&Served)) -> Result<(), String> {
    let at: IpAddr = if options.phone {
        Ipv4Addr::UNSPECIFIED.into()
    } else {
        Ipv4Addr::LOCALHOST.into()
    };
    let listener = TcpListener::bind(SocketAddr::new(at, options.port)).await;
    let listener = listener.map_err(|e| {
        format!(
            "Port {} cannot be used: {e}. Leave out --port to take a free one.",
            options.port
        )
    })?;
    let port = listener.local_addr().map_err(|e| e.to_string())?.port();
    let phone = if options.phone {
        let address = own_address();
        Some(
            address
                .ok_or("This computer is on no local network. Join one, or leave out --phone.")?,
        )
    } else {
        None
    };
    let mut hosts = vec![format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    hosts.extend(phone.map(|address| format!("{address}:{port}")));
    let token = guard::token()?;
    let address = |host: String| format!("http://{host}:{port}/#{token}");
    ready(&Served {
        here: address(Ipv4Addr::LOCALHOST.to_string()),
        phone: phone.map(|phone| address(phone.to_string())),
        folder: folder.shown(),
    });
    let shared = Arc::new(Shared {
        folder,
        token,
        hosts,
        system: options.system,
        computing: Arc::new(Semaphore::new(MOST_COMPUTING)),
    });
    let app = routes(shared);
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    let listen = async {
        loop {
            let Ok(place) = places.clone().acquire_owned().await else {
                return;
            };
            let Ok((stream, _)) = listener.accept().await else {
                // Too many open files, or a client that has gone: try again in a moment.
                tokio::time::sleep(Duration::from_millis(50)).await;
                continue;
            };
            let service = TowerToHyperService::new(app.clone());
            tokio::spawn(async move {
                let _place = place;
                let mut http = hyper::server::conn::http1::Builder::new();
                http.timer(TokioTimer::new())
                    .header_read_timeout(HEAD_PATIENCE)
                    .max_buf_size(64 * 1024);
                let _ = http.serve_connection(TokioIo::new(stream), service).await;
            });
        }
    };
    tokio::select! {
        () = listen => Ok(()),
        _ = tokio::signal::ctrl_c() => Ok(()),
    }
}

fn routes(shared: Arc<Shared>) -> Router {
    let mut router = Router::new()
        .route("/api/jobs", get(jobs))
        .route("/api/job", get(job))
        .route("/api/new", get(new_job::new_form).post(new_job::new_job))
        .route("/api/draft", post(draft::draft))
        .route("/api/save", post(save))
        .route("/api/answer", post(answer::answer))
        .route("/api/show/{what}", post(pages::show))
        .route("/api/readings", post(slab::readings))
        .route("/api/walk", post(walk::walk))
        .route("/api/today", post(slab::today))
        .route("/api/report/{kind}", post(pages::report))
        .route("/api/pocket", post(pages::pocket));
    for (path, media, text) in FILES {
        let file = move || async move { ([(header::CONTENT_TYPE, media)], text).into_response() };
        router = router.route(path, get(file));
    }
    router
        .fallback(|| async { Refusal(StatusCode::NOT_FOUND, "There is no such page.".into()) })
        .layer(middleware::from_fn_with_state(shared.clone(), guard))
        .with_state(shared)
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// The files of the page as they are sent.
const FILES: [(&str, &str, &str); 8] = [
    (
        "/",
        "text/html; charset=utf-8",
        include_str!("web/index.html"),
    ),
    (
        "/look.css",
        "text/css; charset=utf-8",
        include_str!("web/look.css"),
    ),
    ("/app.js", SCRIPT, include_str!("web/app.js")),
    ("/api.js", SCRIPT, include_str!("web/api.js")),
    ("/draft.js", SCRIPT, include_str!("web/draft.js")),
    ("/form.js", SCRIPT, include_str!("web/form.js")),
    ("/answer.js", SCRIPT, include_str!("web/answer.js")),
    ("/pages.js", SCRIPT, include_str!("web/pages.js")),
];

/// The jobs of the folder, and the examples.
async fn jobs(State(shared): State<Arc<Shared>>) -> Json<Value> {
    let found = tokio::task::spawn_blocking(move || {
        json!({
            "folder": shared.folder.shown(),
            "jobs": shared.folder.jobs(),
            "units": match shared.system { System::Us | System::Both => "us", System::Si => "si" },
            "examples": EXAMPLES.map(|(key, text)| json!({ "key": key, "name": example_name(text) })),
        })
    });
    Json(found.await.unwrap_or_default())
}

#[derive(Debug, Deserialize)]
struct File {
    file: String,
}

/// The text of a job.
async fn job(
    State(shared): State<Arc<Shared>>,
    Query(File { file }): Query<File>,
) -> Result<Json<Value>, Refusal> {
    Ok(Json(json!({ "text": shared.folder.read(&file)? })))
}

#[derive(Debug, Deserialize)]
struct Save {
    file: String,
    /// The text that the draft was made from.
    base: String,
    text: String,
}

/// Saves a draft, unless its file has changed meanwhile: then what stands there comes back.
async fn save(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<Save>,
) -> Result<Response, Refusal> {
    let found = tokio::task::spawn_blocking(move || {
        shared
            .folder
            .save(&asked.file, Some(&asked.base), &asked.text)
    });
    let found = found
        .await
        .map_err(|_| Refusal::told("The job could not be saved. Try again."))?;
    Ok(match found? {
        None => Json(json!({ "saved": true })).into_response(),
        Some(now) => (
            StatusCode::CONFLICT,
            Json(json!({
                "fault": "The file has been changed by another program or tab since you opened it. Nothing was written.",
                "now": now,
            })),
        )
            .into_response(),
    })
}
