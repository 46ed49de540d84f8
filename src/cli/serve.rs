//! `coatday serve`: the whole job in a browser on this computer.

use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::page::{Options, Served, qr, serve};
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// Arguments of `serve`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "The page is for this computer alone: nothing is sent anywhere, and no network is needed. Ctrl-C ends it.\n\nWith --phone every machine on the local network that knows the whole address can read and change the jobs in the folder. The local network is not encrypted: others on it can read along. Use it on a network that you trust, and end it when you are done."
)]
pub(super) struct ServeArguments {
    /// The folder with the jobs, which are scenario files
    #[arg(default_value = ".")]
    folder: PathBuf,
    /// The port. Default: one that is free
    #[arg(
        long,
        value_name = "NUMBER",
        default_value_t = 0,
        hide_default_value = true
    )]
    port: u16,
    /// Listen on the local network too, and show the address as a QR code for the phone
    #[arg(long)]
    phone: bool,
    /// Only print the address; do not open a browser
    #[arg(long)]
    no_open: bool,
}

pub(super) fn run(arguments: &ServeArguments, printer: &Printer) -> Result<Ending, Fault> {
    let options = Options {
        folder: arguments.folder.clone(),
        port: arguments.port,
        phone: arguments.phone,
        system: printer.system,
    };
    serve(&options, &|served| tell(served, arguments, printer))?;
    Ok(Ending::Good)
}

fn tell(served: &Served, arguments: &ServeArguments, printer: &Printer) {
    printer.note(&format!("Jobs in {}. Ctrl-C ends the page.", served.folder));
    printer.data(&served.here);
    if let Some(phone) = &served.phone {
        if let Some(code) = qr(phone, printer.styled) {
            printer.data(&code);
        }
        printer.data(phone);
        printer.note(
            "Everyone on this network who has the whole address can read and change these jobs. The local network is not encrypted: others on it can read along. End the page when you are done.",
        );
    }
    if !arguments.no_open {
        open(&served.here);
    }
}

/// Opens an address in the browser of the system. One that does not open is no fault: the address was printed.
fn open(address: &str) {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let mut command = Command::new(program);
    command
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    // The browser lives on by itself.
    drop(command.spawn());
}
