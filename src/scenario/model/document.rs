//! What stands at the head of the report.

use crate::scenario::keys::keys;

keys! {
    /// Who hands the report and the letter to whom. All of it may be left out.
    #[derive(Default)]
    #[schemars(extend("x-section" = true))]
    DocumentHead {
        /// The company that hands it out.
        company: Option<String>,
        /// The company's address, on one line.
        address: Option<String>,
        /// The company's logo: a PNG, JPEG or SVG file of 1 MB at most, its path seen from the scenario's folder.
        logo: Option<String>,
        /// Who made it, with a phone number if you like.
        prepared_by: Option<String>,
        /// Who gets it.
        prepared_for: Option<String>,
        /// Where the floor is.
        job_address: Option<String>,
    }
}
