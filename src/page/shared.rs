//! What all requests share.

use super::folder::Folder;
use crate::units::System;
use std::sync::Arc;
use tokio::sync::Semaphore;

/// What all requests share.
#[derive(Debug)]
pub(super) struct Shared {
    pub(super) folder: Folder,
    pub(super) token: String,
    /// What `Host` may say.
    pub(super) hosts: Vec<String>,
    pub(super) system: System,
    pub(super) computing: Arc<Semaphore>,
}
