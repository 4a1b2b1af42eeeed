//! People, keys, sign-offs, and what a file is.

use std::time::Duration;

use headproof_wire::{
    Job, KeyRequest, MadeKey, Person, PersonRequest, SignOffRequest, SignOffStatus, Verification,
};
use reqwest::header::{HeaderValue, IF_MATCH};
use serde::Serialize;

use crate::call::{Call, Content};
use crate::jobs::is_over;
use crate::{Client, ClientError, IdempotencyKey};

impl Client {
    /// Enters a person who signs.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn enter_person(&self, request: &PersonRequest) -> Result<Person, ClientError> {
        self.created("/v1/people", request)?.document().await
    }

    /// Makes a key.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn make_key(&self, request: &KeyRequest) -> Result<MadeKey, ClientError> {
        self.created("/v1/keys", request)?.document().await
    }

    /// Signs the evaluation of a job, as the person the key speaks for.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn sign(&self, job: &Job, request: &SignOffRequest) -> Result<SignOffStatus, ClientError> {
        let tag = HeaderValue::from_str(&format!("\"{}\"", job.evaluation_digest))
            .map_err(|_| ClientError::Usage("the digest of the evaluation is none"))?;
        self.created(&format!("{}/sign-offs", job.links.this), request)?.with(IF_MATCH, tag).accepted().await
    }

    /// Waits until a signed sheet is there or has failed.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn wait_signed(
        &self,
        signed: &SignOffStatus,
        longest: Duration,
    ) -> Result<SignOffStatus, ClientError> {
        self.poll(&signed.links.this, longest, |signed: &SignOffStatus| is_over(signed.state), None).await
    }

    /// Learns what a PDF file is.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn verify(&self, file: Vec<u8>) -> Result<Verification, ClientError> {
        Call::post(self, "/v1/verify", Content::Bytes(file, "application/pdf")).document().await
    }

    fn created(&self, link: &str, request: &impl Serialize) -> Result<Call<'_>, ClientError> {
        let content = Content::Bytes(json(request)?, "application/json");
        Ok(Call::create(self, link, content, &IdempotencyKey::new()))
    }
}

/// The JSON of a request.
pub(crate) fn json(document: &impl Serialize) -> Result<Vec<u8>, ClientError> {
    serde_json::to_vec(document).map_err(|error| ClientError::Unexpected(error.to_string()))
}
