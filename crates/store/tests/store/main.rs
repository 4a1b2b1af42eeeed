//! The store as its users see it, with a clock that is moved by hand, on every kind of store there is: SQLite and files,
//! PostgreSQL and files, PostgreSQL and a bucket. What it does is the same on all.

/// Makes a test of each of these functions for each of these kinds of store.
macro_rules! on_kinds {
    (@one [$($kind:ident)*] $test:ident) => {
        mod $test {
            $(
                #[tokio::test(flavor = "multi_thread", worker_threads = 4)]
                async fn $kind() -> crate::bench::Outcome {
                    crate::bench::run(crate::bench::Kind::$kind(), super::$test).await
                }
            )*
        }
    };
    ($kinds:tt $($test:ident)*) => {
        $(on_kinds!(@one $kinds $test);)*
    };
}

macro_rules! on_all_kinds {
    ($($test:ident)*) => {
        on_kinds!([embedded server line] $($test)*);
    };
}

mod artifacts;
mod batches;
mod bench;
mod cancelling;
mod deliveries;
mod delivery_troubles;
mod disposal;
mod jobs;
mod keys;
mod lists;
mod observations;
mod open;
mod postgres;
mod profiles;
mod queue;
mod receivers;
mod repeated;
mod schedule;
mod schema;
mod sign_offs;
mod turns;
