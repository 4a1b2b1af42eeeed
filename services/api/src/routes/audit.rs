//! The audit trail, to be kept elsewhere.

use actix_web::web::Bytes;
use actix_web::{HttpResponse, web};
use futures_util::stream;
use headproof_store::{ShopId, Store};

use crate::access::{Admin, May};
use crate::{ApiError, ApiState};

/// The audit trail of the shop, one entry a line, each naming the SHA-256 of the line before it. `headproof audit
/// verify` checks it. What was cut off at its end cannot be found out from it alone: keep checkpoints.
#[utoipa::path(
    get,
    path = "/v1/audit",
    tag = "Access",
    responses((status = 200, description = "The entries, oldest first", body = String, content_type = "application/x-ndjson"))
)]
pub(crate) async fn export(state: web::Data<ApiState>, May(caller, ..): May<Admin>) -> HttpResponse {
    let lines = stream::try_unfold(Reader::new(state.store.clone(), caller.shop), Reader::next);
    HttpResponse::Ok().content_type("application/x-ndjson").streaming(lines)
}

/// Reads a trail some thousand lines at a time.
struct Reader {
    store: Store,
    shop: ShopId,
    read: u64,
}

impl Reader {
    const fn new(store: Store, shop: ShopId) -> Self {
        Self { store, shop, read: 0 }
    }

    async fn next(mut self) -> Result<Option<(Bytes, Self)>, ApiError> {
        let lines = self.store.trail(&self.shop, self.read).await?;
        if lines.is_empty() {
            return Ok(None);
        }
        self.read += lines.len() as u64;
        let mut text = lines.join(&b'\n');
        text.push(b'\n');
        Ok(Some((text.into(), self)))
    }
}
