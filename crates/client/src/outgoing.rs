//! Requests to other services.

use std::time::Duration;

use reqwest::redirect::Policy;
use reqwest::{Response, StatusCode};

use crate::ClientError;

/// A client for an address that an operator has configured: it goes there and nowhere else, neither by a redirect nor
/// by a proxy of the environment.
///
/// # Errors
/// When the certificates of the system cannot be read.
pub fn outgoing(patience: Duration) -> Result<reqwest::Client, reqwest::Error> {
    // The first one stays; a second is the same.
    let _ = rustls::crypto::ring::default_provider().install_default();
    reqwest::Client::builder().timeout(patience).redirect(Policy::none()).no_proxy().build()
}

/// The body of an answer, if it is no larger than it may be.
///
/// # Errors
/// When it is larger, is cut off, or says that something went wrong.
pub async fn body_up_to(mut response: Response, largest: usize) -> Result<Vec<u8>, ClientError> {
    if response.status() != StatusCode::OK {
        return Err(ClientError::Unexpected(response.status().to_string()));
    }
    let mut bytes = Vec::new();
    while let Some(piece) = response.chunk().await? {
        if bytes.len() + piece.len() > largest {
            return Err(ClientError::Unexpected(format!("more than {largest} bytes")));
        }
        bytes.extend_from_slice(&piece);
    }
    Ok(bytes)
}
