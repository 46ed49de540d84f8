//! The `coatday` command.

fn main() -> std::process::ExitCode {
    coatday::cli::run()
}
