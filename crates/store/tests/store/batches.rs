use headproof_store::{
    BatchRecord, BatchRefused, Error, Line, LineContent, Made, OpenBatch, Page, Place, Progress, RefusedLine,
    Store, TaskState,
};
use uuid::Uuid;

use crate::bench::{
    ALL, Bench, LEASE, Outcome, batch, before, claim_of, line, new, new_batch, shop, submit_batch,
};

on_all_kinds! {
    lines_come_piece_by_piece_and_the_report_after_the_last
    who_was_cut_off_goes_on_where_it_was
    a_writer_that_was_frozen_can_do_nothing_more
    a_batch_is_ended_once
    a_batch_without_a_job_leaves_nothing
    another_request_of_the_same_key_is_refused
    of_many_who_begin_a_batch_one_writes
    jobs_and_refused_lines_are_read_in_pages
    batches_are_listed_by_age
    a_batch_that_nobody_goes_on_with_is_ended_with_what_came_in
}

fn refused(number: u32) -> Line {
    let line = RefusedLine {
        line: number,
        client_reference: Some(format!("order {number}")),
        problem: format!("problem {number}").into_bytes(),
    };
    Line { number, outcome: LineContent::Refused(line) }
}

async fn lines_come_piece_by_piece_and_the_report_after_the_last(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let batch = new_batch("pump-works", "k");
    let mut open = new(store.begin_batch(&batch).await?);
    assert_eq!(open.last_line, 0);
    let id = open.id;
    let seen = async || Ok::<BatchRecord, Error>(store.batch(&owner, id).await?.expect("the batch"));
    let empty = seen().await?;
    assert_eq!(
        (empty.closed, empty.task.state, empty.progress),
        (false, TaskState::Queued, Progress::default())
    );

    store.add_lines(&batch, &mut open, &[line(1, "H-1"), refused(2), line(4, "H-2")]).await?;
    assert_eq!(open.last_line, 4);
    store.add_lines(&batch, &mut open, &[]).await?;
    let jobs = store.jobs_of_batch(&owner, id, 0, 10).await?;
    assert_eq!(jobs.iter().map(|job| job.line).collect::<Vec<_>>(), [Some(1), Some(4)]);
    assert_eq!(seen().await?.progress, Progress { refused: 1, queued: 2, ..Progress::default() });

    // Sheets need not wait for the end; the report does.
    let claim = claim_of(&store, jobs[0].id).await?;
    assert_eq!(seen().await?.progress, Progress { refused: 1, queued: 1, running: 1, ..Progress::default() });
    store.finish(&claim, b"sheet".to_vec()).await?;
    let claim = claim_of(&store, jobs[1].id).await?;
    store.fail(&claim, "no such paper", headproof_store::Retry::Never).await?;
    assert_eq!(store.claim(LEASE).await?, None);
    store.add_lines(&batch, &mut open, &[refused(5), line(6, "H-1")]).await?;
    let ended = store.end_batch(&batch, &open).await?.ok_or("nothing is left")?;
    let progress = Progress { refused: 2, queued: 1, done: 1, failed: 1, ..Progress::default() };
    assert_eq!((ended.closed, ended.progress, ended.progress.accepted()), (true, progress, 3));
    assert_eq!((ended.task.state, ended.task.max_attempts), (TaskState::Queued, 5));

    let last = store.jobs_of_batch(&owner, id, 4, 10).await?;
    assert_eq!((last.len(), last[0].revision), (1, 2), "the second of H-1");
    let claim = claim_of(&store, last[0].id).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    let claim = claim_of(&store, id).await?;
    let report = store.finish(&claim, b"report".to_vec()).await?;
    let over = seen().await?;
    assert_eq!((over.task.state, over.report), (TaskState::Done, Some(report)));
    assert_eq!(store.batch(&shop("cold-store"), id).await?, None);
    Ok(())
}

async fn who_was_cut_off_goes_on_where_it_was(bench: Bench) -> Outcome {
    let (store, other) = (bench.open().await?, bench.open().await?);
    let batch = new_batch("pump-works", "k");
    let mut first = new(store.begin_batch(&batch).await?);
    store.add_lines(&batch, &mut first, &[line(1, "H-1"), refused(2)]).await?;
    bench.pass(59);
    let early = other.begin_batch(&batch).await;
    assert!(matches!(early, Err(BatchRefused::Store(Error::StillRunning))), "{early:?}");
    store.add_lines(&batch, &mut first, &[line(3, "H-2")]).await?;
    bench.pass(59);
    let early = other.begin_batch(&batch).await;
    assert!(matches!(early, Err(BatchRefused::Store(Error::StillRunning))), "a line came since: {early:?}");
    bench.pass(1);
    let mut second = before(other.begin_batch(&batch).await?);
    assert_eq!((second.id, second.last_line), (first.id, 3));
    let third = store.begin_batch(&batch).await;
    assert!(matches!(third, Err(BatchRefused::Store(Error::StillRunning))), "{third:?}");
    other.add_lines(&batch, &mut second, &[line(4, "H-3")]).await?;
    let ended = other.end_batch(&batch, &second).await?.ok_or("nothing is left")?;
    assert_eq!(ended.progress, Progress { refused: 1, queued: 3, ..Progress::default() });
    match store.begin_batch(&batch).await {
        Err(BatchRefused::Ended(record)) => assert_eq!(*record, ended),
        other => panic!("{other:?}"),
    }
    Ok(())
}

async fn a_writer_that_was_frozen_can_do_nothing_more(bench: Bench) -> Outcome {
    let (frozen, other) = (bench.open().await?, bench.open().await?);
    let batch = new_batch("pump-works", "k");
    let mut first = new(frozen.begin_batch(&batch).await?);
    frozen.add_lines(&batch, &mut first, &[line(1, "H-1")]).await?;
    bench.pass(60);
    let mut second = before(other.begin_batch(&batch).await?);
    // The other has stored nothing yet, so that both are at the same line.
    let late = frozen.add_lines(&batch, &mut first, &[line(2, "H-late")]).await;
    assert!(matches!(late, Err(Error::StillRunning)), "{late:?}");
    let late = frozen.end_batch(&batch, &first).await;
    assert!(matches!(late, Err(Error::StillRunning)), "{late:?}");
    other.add_lines(&batch, &mut second, &[line(2, "H-2")]).await?;
    let ended = other.end_batch(&batch, &second).await?.ok_or("nothing is left")?;
    assert_eq!(ended.progress.accepted(), 2);
    let jobs = other.jobs_of_batch(&shop("pump-works"), ended.id, 0, 10).await?;
    assert_eq!(jobs[1].head_reference, "H-2");
    Ok(())
}

async fn a_batch_is_ended_once(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let batch = new_batch("pump-works", "k");
    let mut open = new(store.begin_batch(&batch).await?);
    store.add_lines(&batch, &mut open, &[line(1, "H-1")]).await?;
    let ended = store.end_batch(&batch, &open).await?.ok_or("nothing is left")?;
    let twice = store.end_batch(&batch, &open).await;
    assert!(matches!(twice, Err(Error::StillRunning)), "{twice:?}");
    let late = store.add_lines(&batch, &mut open, &[line(2, "H-2")]).await;
    assert!(matches!(late, Err(Error::StillRunning)), "{late:?}");
    bench.pass(3600);
    let again = store.begin_batch(&batch).await;
    assert!(matches!(&again, Err(BatchRefused::Ended(record)) if **record == ended), "{again:?}");
    assert_eq!(store.batches(&shop("pump-works"), ALL).await?, [ended]);
    Ok(())
}

async fn a_batch_without_a_job_leaves_nothing(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let batch = new_batch("pump-works", "k");
    let mut open = new(store.begin_batch(&batch).await?);
    store.add_lines(&batch, &mut open, &[refused(1), refused(2)]).await?;
    assert_eq!(store.end_batch(&batch, &open).await?, None);
    assert_eq!(store.batch(&owner, open.id).await?, None);
    assert_eq!(store.refused_lines(&owner, open.id, 0, 10).await?, []);
    assert_eq!(store.claim(LEASE).await?, None);
    let late = store.add_lines(&batch, &mut open, &[line(3, "H-1")]).await;
    assert!(matches!(late, Err(Error::StillRunning)), "{late:?}");
    // The request can be made again, with other lines too.
    let mut other = batch.clone();
    other.once.fingerprint = "digest of other lines".to_owned();
    assert_ne!(new(store.begin_batch(&other).await?).id, open.id);
    Ok(())
}

async fn another_request_of_the_same_key_is_refused(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let batch = new_batch("pump-works", "k");
    new(store.begin_batch(&batch).await?);
    let mut other = batch.clone();
    other.once.fingerprint = "digest of other lines".to_owned();
    let refused = store.begin_batch(&other).await;
    assert!(matches!(refused, Err(BatchRefused::Store(Error::KeyReused))), "{refused:?}");
    new(store.begin_batch(&new_batch("cold-store", "k")).await?);
    Ok(())
}

async fn of_many_who_begin_a_batch_one_writes(bench: Bench) -> Outcome {
    let stores = [bench.open().await?, bench.open().await?];
    let begin = async |stores: &[Store; 2]| {
        let beginning: Vec<_> = (0..8)
            .map(|number| {
                let store = stores[number % 2].clone();
                tokio::spawn(async move { store.begin_batch(&new_batch("pump-works", "k")).await })
            })
            .collect();
        let mut writers: Vec<Made<OpenBatch>> = Vec::new();
        for begun in beginning {
            match begun.await.expect("no panic") {
                Ok(open) => writers.push(open),
                Err(BatchRefused::Store(Error::StillRunning)) => {}
                Err(other) => panic!("{other:?}"),
            }
        }
        assert_eq!(writers.len(), 1);
        writers.remove(0)
    };
    let first = new(begin(&stores).await);
    bench.pass(60);
    assert_eq!(before(begin(&stores).await).id, first.id);
    Ok(())
}

async fn jobs_and_refused_lines_are_read_in_pages(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let (owner, stranger) = (shop("pump-works"), shop("cold-store"));
    let batch = new_batch("pump-works", "k");
    let mut open = new(store.begin_batch(&batch).await?);
    let lines: Vec<Line> =
        (1..=20).map(|number| if number % 4 == 0 { refused(number) } else { line(number, "H-1") }).collect();
    for piece in lines.chunks(7) {
        store.add_lines(&batch, &mut open, piece).await?;
    }
    let (mut jobs, mut after) = (Vec::new(), 0);
    loop {
        let page = store.jobs_of_batch(&owner, open.id, after, 4).await?;
        let Some(last) = page.last().and_then(|job| job.line) else { break };
        after = last;
        jobs.extend(page.into_iter().filter_map(|job| job.line));
    }
    assert_eq!(jobs, (1..=20).filter(|line| line % 4 != 0).collect::<Vec<_>>());
    let first = store.refused_lines(&owner, open.id, 0, 3).await?;
    let rest = store.refused_lines(&owner, open.id, 12, 3).await?;
    assert_eq!(first.iter().chain(&rest).map(|one| one.line).collect::<Vec<_>>(), [4, 8, 12, 16, 20]);
    assert_eq!(first[0].problem, b"problem 4");
    assert_eq!(first[0].client_reference.as_deref(), Some("order 4"));
    assert_eq!(store.jobs_of_batch(&stranger, open.id, 0, 10).await?, []);
    assert_eq!(store.refused_lines(&stranger, open.id, 0, 10).await?, []);
    assert_eq!(store.jobs_of_batch(&owner, Uuid::now_v7(), 0, 10).await?, []);
    Ok(())
}

async fn batches_are_listed_by_age(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let mut all = Vec::new();
    for number in 0..5 {
        // Two of them within the same millisecond.
        bench.pass(i64::from(number != 3));
        all.push(submit_batch(&store, batch("pump-works", &["H-1"])).await?.id);
    }
    submit_batch(&store, batch("cold-store", &["H-1"])).await?;
    let (mut seen, mut after) = (Vec::new(), None);
    loop {
        let page = store.batches(&owner, Page { after, most: 2 }).await?;
        let Some(last) = page.last() else { break };
        after = Some(Place { at: last.created_at, id: last.id });
        seen.extend(page.into_iter().map(|batch| batch.id));
    }
    assert_eq!(seen, all);
    Ok(())
}

async fn a_batch_that_nobody_goes_on_with_is_ended_with_what_came_in(bench: Bench) -> Outcome {
    const DAY: std::time::Duration = std::time::Duration::from_secs(24 * 3600);
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let (some, none) = (new_batch("pump-works", "some"), new_batch("pump-works", "none"));
    let mut left = new(store.begin_batch(&some).await?);
    store.add_lines(&some, &mut left, &[line(1, "H-1"), refused(2)]).await?;
    let empty = new(store.begin_batch(&none).await?);
    bench.pass(24 * 3600);
    assert_eq!(store.end_left_batches(DAY).await?, 0, "not yet");
    bench.pass(1);
    assert_eq!(store.end_left_batches(DAY).await?, 2);
    let ended = store.batch(&owner, left.id).await?.ok_or("gone")?;
    assert!(ended.closed);
    assert_eq!((ended.progress.queued, ended.progress.refused), (1, 1));
    assert_eq!(store.batch(&owner, empty.id).await?, None);
    assert!(matches!(store.add_lines(&some, &mut left, &[line(3, "H-2")]).await, Err(Error::StillRunning)));
    let again = new(store.begin_batch(&some).await?);
    assert_ne!(again.id, left.id, "what did not come in whole is not taken for it");
    Ok(())
}
