//! What only a server can do to us.

use std::time::{Duration, Instant};

use headproof_store::{Error, JobsOf, Location, Options, Records, Server, Store};
use sqlx::{AssertSqlSafe, Connection, PgConnection, Row};

use crate::bench::{ALL, Bench, LEASE, Outcome, job, shop, submit};

on_kinds! {
    [server]
    a_database_that_a_newer_edition_has_migrated_is_used_as_it_is
    a_connection_that_is_cut_is_replaced
    a_connection_that_is_cut_in_the_midst_loses_nothing_accepted
    a_server_that_is_absent_is_away
    a_server_without_a_connection_left_is_away
    a_process_without_a_connection_left_is_busy
    who_keeps_others_waiting_is_let_go
    a_password_that_is_wrong_is_no_absence
    many_pools_take_no_task_twice
}

/// A store with these connections and so much patience.
fn limited(bench: &Bench, connections: u32, patience: u64) -> Location {
    let mut location = bench.location();
    if let Records::Server(server) = &mut location.records {
        *server = Server {
            connections,
            patience: Duration::from_secs(patience),
            at_start: Duration::from_secs(1),
            ..server.clone()
        };
    }
    location
}

fn url(bench: &Bench) -> &str {
    bench.url.as_deref().expect("a server")
}

async fn cut_all(bench: &Bench) -> Outcome {
    let statement = "SELECT count(pg_terminate_backend(pid)) AS cut FROM pg_stat_activity
                     WHERE datname = current_database() AND pid <> pg_backend_pid()";
    let mut connection = PgConnection::connect(url(bench)).await?;
    let cut: i64 = sqlx::query(statement).fetch_one(&mut connection).await?.try_get("cut")?;
    assert!(cut > 0);
    connection.close().await?;
    Ok(())
}

async fn a_database_that_a_newer_edition_has_migrated_is_used_as_it_is(bench: Bench) -> Outcome {
    let old = bench.open().await?;
    let first = submit(&old, "pump-works", "H-1").await?;
    for statement in [
        "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time)
         VALUES (99, 'later', true, '\\x00', 1)",
        "ALTER TABLE task ADD COLUMN later BIGINT NOT NULL DEFAULT 7",
        "ALTER TABLE job ADD COLUMN later TEXT",
        "ALTER TABLE receiver ADD COLUMN later TEXT",
        "ALTER TABLE delivery ADD COLUMN later TEXT NOT NULL DEFAULT 'x'",
        "ALTER TABLE batch ADD COLUMN later TEXT",
        "CREATE TABLE later (id TEXT PRIMARY KEY)",
    ] {
        bench.execute(statement).await?;
    }
    // One that was open all the while, and one that opens now.
    let new = bench.open().await?;
    for store in [&old, &new] {
        store.ready().await?;
        crate::receivers::enter(store, "a", "").await?;
        let submitted = submit(store, "pump-works", "H-1").await?;
        crate::bench::submit_batch(store, crate::bench::batch("pump-works", &["H-2"])).await?;
        assert!(store.job(&shop("pump-works"), first.id).await?.is_some());
        while let Some(claim) = store.claim(LEASE).await? {
            store.finish(&claim, b"sheet".to_vec()).await?;
        }
        assert!(store.job(&shop("pump-works"), submitted.id).await?.is_some_and(|job| job.sheet.is_some()));
        while let Some(claim) = store.claim_delivery(LEASE).await? {
            store.delivered(&claim, 200).await?;
        }
    }
    Ok(())
}

async fn a_connection_that_is_cut_is_replaced(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for _ in 0..5 {
        submit(&store, "pump-works", "H-1").await?;
        cut_all(&bench).await?;
        match store.ready().await {
            Ok(()) | Err(Error::Away(_) | Error::Busy(_)) => {}
            Err(other) => return Err(other.into()),
        }
        store.ready().await?;
    }
    assert_eq!(store.jobs(&shop("pump-works"), JobsOf::default(), ALL).await?.len(), 5);
    Ok(())
}

async fn a_connection_that_is_cut_in_the_midst_loses_nothing_accepted(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let submitting: Vec<_> = (0..4)
        .map(|writer| {
            let store = store.clone();
            tokio::spawn(async move {
                let (mut accepted, mut refused) = (Vec::new(), 0);
                for number in 0..30 {
                    match store.submit_job(job("pump-works", &format!("H-{writer}-{number}"))).await {
                        Ok(made) => accepted.push(made.into_inner().id),
                        Err(Error::Away(_) | Error::Busy(_)) => refused += 1,
                        Err(other) => return Err(other),
                    }
                }
                Ok((accepted, refused))
            })
        })
        .collect();
    for _ in 0..5 {
        tokio::time::sleep(Duration::from_millis(30)).await;
        cut_all(&bench).await?;
    }
    let (mut accepted, mut refused) = (Vec::new(), 0);
    for writer in submitting {
        let (ids, failed) = writer.await??;
        accepted.extend(ids);
        refused += failed;
    }
    let stored = store.jobs(&shop("pump-works"), JobsOf::default(), ALL).await?;
    let stored: std::collections::BTreeSet<_> = stored.into_iter().map(|job| job.id).collect();
    assert!(accepted.iter().all(|id| stored.contains(id)), "{refused} were refused");
    // A commit of which the answer was lost may have happened.
    assert!(stored.len() <= accepted.len() + refused);
    Ok(())
}

async fn a_server_that_is_absent_is_away(bench: Bench) -> Outcome {
    let mut location = limited(&bench, 2, 1);
    if let Records::Server(server) = &mut location.records {
        // The discard port of a machine that has no such service.
        server.url = "postgres://postgres@127.0.0.1:9/postgres".to_owned();
        server.at_start = Duration::from_secs(2);
    }
    let started = Instant::now();
    let refused = Store::open_with(location, Options::default()).await;
    assert!(matches!(refused, Err(Error::Away(_))), "{refused:?}");
    let waited = started.elapsed();
    assert!((Duration::from_secs(2)..Duration::from_secs(10)).contains(&waited), "{waited:?}");
    Ok(())
}

async fn a_server_without_a_connection_left_is_away(bench: Bench) -> Outcome {
    bench.open().await?.ready().await?;
    let database: sqlx::postgres::PgConnectOptions = url(&bench).parse()?;
    // A superuser is not held to the limit: the store comes as somebody who is.
    let user = format!("{}_user", database.get_database().ok_or("no database")?);
    bench.execute(&format!("CREATE ROLE {user} LOGIN CONNECTION LIMIT 0")).await?;
    let mut location = limited(&bench, 2, 1);
    if let Records::Server(server) = &mut location.records {
        server.url = server.url.replacen("//postgres@", &format!("//{user}@"), 1);
    }
    let refused = Store::open_with(location, Options::default()).await;
    assert!(matches!(refused, Err(Error::Away(_))), "{refused:?}");
    bench.execute(&format!("DROP ROLE {user}")).await?;
    Ok(())
}

async fn a_process_without_a_connection_left_is_busy(bench: Bench) -> Outcome {
    let store = Store::open_with(limited(&bench, 1, 1), Options::default()).await?;
    submit(&store, "pump-works", "H-1").await?;
    // Somebody else holds the shop, so that the only connection waits.
    let mut holder = PgConnection::connect(url(&bench)).await?;
    let mut held = holder.begin().await?;
    sqlx::query("SELECT pg_advisory_xact_lock(hashtextextended('pump-works', 0))")
        .execute(&mut *held)
        .await?;
    let waiting = {
        let store = store.clone();
        tokio::spawn(async move { store.submit_job(job("pump-works", "H-1")).await })
    };
    tokio::time::sleep(Duration::from_millis(200)).await;
    let refused = store.ready().await;
    assert!(matches!(refused, Err(Error::Busy(_))), "{refused:?}");
    // And who waits for the lock waits no longer than 5 s.
    let refused = waiting.await?;
    assert!(matches!(refused, Err(Error::Busy(_))), "{refused:?}");
    held.rollback().await?;
    submit(&store, "pump-works", "H-1").await?;
    Ok(())
}

/// <https://www.postgresql.org/docs/15/runtime-config-client.html>
async fn who_keeps_others_waiting_is_let_go(bench: Bench) -> Outcome {
    let store = Store::open_with(limited(&bench, 1, 5), Options::default()).await?;
    store.ready().await?;
    // Every function that is run for the store shows what its session was set to.
    for statement in [
        "CREATE TABLE seen (name TEXT, value TEXT)",
        "CREATE FUNCTION look() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
             INSERT INTO seen SELECT name, current_setting(name) FROM unnest(ARRAY[
                 'idle_in_transaction_session_timeout', 'lock_timeout', 'statement_timeout',
                 'synchronous_commit', 'application_name']) AS name;
             RETURN NEW; END $$",
        "CREATE TRIGGER look AFTER INSERT ON job FOR EACH ROW EXECUTE FUNCTION look()",
    ] {
        bench.execute(statement).await?;
    }
    submit(&store, "pump-works", "H-1").await?;
    let mut connection = PgConnection::connect(url(&bench)).await?;
    let rows = sqlx::query(AssertSqlSafe("SELECT name, value FROM seen ORDER BY name".to_owned()));
    let mut seen: Vec<(String, String)> = Vec::new();
    for row in rows.fetch_all(&mut connection).await? {
        seen.push((row.try_get("name")?, row.try_get("value")?));
    }
    let seen: Vec<(&str, &str)> = seen.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let expected = [
        ("application_name", "headproof"),
        ("idle_in_transaction_session_timeout", "5s"),
        ("lock_timeout", "5s"),
        ("statement_timeout", "30s"),
        ("synchronous_commit", "on"),
    ];
    assert_eq!(seen, expected);
    Ok(())
}

async fn a_password_that_is_wrong_is_no_absence(bench: Bench) -> Outcome {
    let mut location = limited(&bench, 2, 5);
    if let Records::Server(server) = &mut location.records {
        server.at_start = Duration::from_secs(60);
        server.url = server.url.replacen("//postgres@", "//nobody_of_that_name@", 1);
    }
    let refused = Store::open_with(location, Options::default()).await;
    assert!(matches!(refused, Err(Error::Other(_))), "{refused:?}");
    Ok(())
}

/// Workers of many machines, all of one shop, whose tasks they have to share.
async fn many_pools_take_no_task_twice(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for number in 0..60 {
        submit(&store, "pump-works", &format!("H-{number}")).await?;
    }
    let mut pools = Vec::new();
    for _ in 0..8 {
        let pool = bench.open().await?;
        // Connected, so that all begin at the same time.
        pool.ready().await?;
        pools.push(pool);
    }
    let mut workers = Vec::new();
    for worker in pools {
        workers.push(tokio::spawn(async move {
            let mut owners = Vec::new();
            while let Some(claim) = worker.claim(LEASE).await? {
                owners.push(claim.owner);
            }
            Ok::<_, Error>(owners)
        }));
    }
    let mut owners = Vec::new();
    for worker in workers {
        let got = worker.await??;
        assert!(!got.is_empty(), "a worker got nothing");
        owners.extend(got);
    }
    assert_eq!(owners.len(), 60);
    owners.sort_unstable();
    owners.dedup();
    assert_eq!(owners.len(), 60);
    Ok(())
}
