//! The server: one bound socket, one set of routes.

use std::io;
use std::net::{SocketAddr, TcpListener};
use std::time::Duration;

use actix_web::dev::{Server, Service};
use actix_web::middleware::{ErrorHandlers, from_fn};
use actix_web::{App, HttpServer, web};
use tracing_actix_web::TracingLogger;

use crate::access::admit;
use crate::metered::metered;
use crate::shed::shed;
use crate::tidy::{name_request, problem_for_all};
use crate::trace::RequestSpan;
use crate::{ApiState, routes};

/// A client that sends nothing for this long is let go.
const PATIENCE: Duration = Duration::from_secs(15);
/// Requests under way get this long when the service stops.
const SHUTDOWN_SECONDS: u64 = 20;

/// A server that listens but does not run yet.
pub struct Bound {
    /// Where it listens.
    pub address: SocketAddr,
    /// To be awaited; its handle stops it.
    pub server: Server,
}

/// Binds the service to an address; port 0 takes a free one.
///
/// # Errors
/// When the address cannot be bound.
pub fn bind(state: ApiState, listen: SocketAddr, threads: usize) -> io::Result<Bound> {
    let listener = TcpListener::bind(listen)?;
    let address = listener.local_addr()?;
    let server = HttpServer::new(move || {
        App::new()
            .app_data(web::Data::new(state.clone()))
            .wrap(from_fn(shed))
            .wrap(from_fn(admit))
            .wrap(ErrorHandlers::new().default_handler(problem_for_all))
            .wrap_fn(|request, service| {
                let answer = service.call(request);
                async move {
                    let mut response = answer.await?;
                    name_request(&mut response);
                    Ok(response)
                }
            })
            .wrap(from_fn(metered))
            .wrap(TracingLogger::<RequestSpan>::new())
            .configure(routes::configure)
    })
    .workers(threads)
    .client_request_timeout(PATIENCE)
    .shutdown_timeout(SHUTDOWN_SECONDS)
    .disable_signals()
    // An answer that goes out in two pieces must not wait for the acknowledgement of the first.
    .tcp_nodelay(true)
    .listen(listener)?
    .run();
    Ok(Bound { address, server })
}
