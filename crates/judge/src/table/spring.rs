//! The springs: heights, loads and margins.

use headproof_head::{CharacteristicId, MissingCause, Phrase, Place, Port, Reading, Service, Spring};
use headproof_metrology as metrology;
use headproof_quantity::{Force, Kind, Length, LengthDim};

use super::direct::{self, direct};
use crate::budget::{Budget, nth};
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    direct!(
        "installed-height",
        "Installed height",
        Length,
        |port| port.springs.installed_height,
        "absent-installed-height"
    ),
    Characteristic::of_port("shims-needed", "Shims needed", Kind::Length, shims_needed)
        .worked_out(
            "installed height − its nominal in the profile; negative where it stands too low already",
            "definition (common practice, no source)",
            "exact decimal arithmetic in Python",
        )
        .on_request(),
    Characteristic::of_port("seat-load", "Seat load", Kind::Force, |context, port, out| {
        load(context, port, Valve::Closed, out)
    })
    .worked_out(
        "load at the installed height, interpolated between the readings or by the rate a tenth of their \
         span outside; nested springs added",
        "linear interpolation",
        "numpy.interp on random springs; published springs of US Army manuals",
    ),
    Characteristic::of_port("open-load", "Open load", Kind::Force, |context, port, out| {
        load(context, port, Valve::Open, out)
    })
    .worked_out(
        "load at the installed height less the lift, interpolated likewise; nested springs added",
        "linear interpolation",
        "numpy.interp on random springs; published springs of US Army manuals",
    ),
    Characteristic::of_port("spring-rate", "Spring rate", Kind::SpringRate, rate)
        .worked_out(
            "slope of the least-squares line through the loads",
            "linear least squares",
            "numpy.polyfit on random springs; NIST StRD Norris",
        )
        .on_request()
        .least_tells(),
    Characteristic::of_port("coil-bind-margin", "Coil-bind margin", Kind::Length, coil_bind)
        .worked_out(
            "installed height − seat step − lift − solid height, least of a nested set",
            "definition",
            "exact decimal arithmetic in Python; published nested springs of a US Army manual",
        )
        .least_tells(),
    Characteristic::of_port("retainer-margin", "Retainer-to-seal margin", Kind::Length, retainer).worked_out(
        "retainer to seal, valve closed − lift",
        "definition",
        "exact decimal arithmetic in Python",
    ),
    Characteristic::of_port("spring-free-length", "Spring free length", Kind::Length, |_, port, out| {
        per_spring(port, |spring| spring.free_length.as_ref(), "absent-free-lengths", out)
    })
    .least_tells(),
    Characteristic::of_port("spring-squareness", "Spring squareness", Kind::Length, |_, port, out| {
        per_spring(port, |spring| spring.squareness.as_ref(), "absent-squareness", out)
    }),
    Characteristic::of_head("spring-match", "Spring match", Kind::Ratio, matched)
        .worked_out(
            "least ÷ greatest seat load among the valves of one service; the worse service",
            "definition (common practice, no source)",
            "numpy.interp on random sets",
        )
        .on_request()
        .least_tells(),
];

type LengthReading = Reading<LengthDim>;

/// What the readings behind a load are called in a budget.
struct Names {
    load: &'static str,
    height: &'static str,
    step: &'static str,
    installed: &'static str,
}

const PLAIN: Names = Names {
    load: "spring load",
    height: "height of the spring load",
    step: "seat step",
    installed: "installed height",
};
const WEAKEST: Names = Names {
    load: "weakest: spring load",
    height: "weakest: height of the spring load",
    step: "weakest: seat step",
    installed: "weakest: installed height",
};
const STRONGEST: Names = Names {
    load: "strongest: spring load",
    height: "strongest: height of the spring load",
    step: "strongest: seat step",
    installed: "strongest: installed height",
};

/// Where the valve stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Valve {
    Closed,
    Open,
}

pub(super) fn springs(port: &Port) -> Result<&[Spring], MissingCause> {
    let springs = port.springs.springs.as_slice();
    if springs.is_empty() { Err(MissingCause::Absent("absent-springs")) } else { Ok(springs) }
}

/// The installed height of one spring of a set: less its own seat step.
fn own_height(spring: &Spring, installed: &LengthReading) -> Length {
    let step = spring.seat_step.as_ref().map_or(Length::ZERO, |step| step.value());
    Length::from_exact(installed.value().exact() - step.exact())
}

pub(super) fn points(spring: &Spring) -> Result<Vec<(Length, Force)>, MissingCause> {
    if spring.loads.is_empty() {
        return Err(MissingCause::Absent("absent-spring-loads"));
    }
    Ok(spring.loads.iter().map(|point| (point.height.value(), point.load.value())).collect())
}

fn load(context: &Context<'_>, port: &Port, valve: Valve, out: &mut Candidates) -> Derived {
    let mut budget = Budget::new(context);
    let total = add_load(port, valve, 1.0, &PLAIN, &mut budget)?;
    out.push(Candidate::computed(Place::Whole, total, budget));
    Ok(())
}

/// The load of all springs of a valve; what it depends on goes into the budget, times `scale`.
fn add_load(
    port: &Port,
    valve: Valve,
    scale: f64,
    names: &Names,
    budget: &mut Budget<'_>,
) -> Result<f64, MissingCause> {
    let installed = need(&port.springs.installed_height, "absent-installed-height")?;
    let lift = match valve {
        Valve::Open => Some(need(&port.springs.lift, "absent-lift")?),
        Valve::Closed => None,
    };
    let (mut total, mut per_height) = (0.0, 0.0);
    for spring in springs(port)? {
        let closed = own_height(spring, installed);
        let height = lift.map_or(closed, |lift| Length::from_exact(closed.exact() - lift.value().exact()));
        let sum = metrology::load_at(&points(spring)?, height).map_err(not_computable)?;
        total += sum.value.get();
        per_height += scale * sum.asked_height_sensitivity;
        for (index, sensitivity) in sum.load_sensitivity {
            budget.reading(nth(names.load, index), scale * sensitivity, &spring.loads[index].load);
        }
        for (index, sensitivity) in sum.height_sensitivity {
            let height = &spring.loads[index].height;
            budget.reading(nth(names.height, index), scale * sensitivity, height);
        }
        if let Some(step) = &spring.seat_step {
            budget.reading(names.step, -scale * sum.asked_height_sensitivity, step);
        }
    }
    budget.reading(names.installed, per_height, installed);
    if let Some(lift) = lift {
        budget.reading("lift", -per_height, lift);
    }
    Ok(total)
}

/// The weakest and the strongest seat load of each service. One that was not measured hides nothing of the
/// other.
fn matched(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let mut all = Ok(());
    for service in [Service::Intake, Service::Exhaust] {
        match matched_in(context, service) {
            Ok(candidate) => out.extend(candidate),
            Err(cause) => all = Err(cause),
        }
    }
    all
}

fn matched_in(context: &Context<'_>, service: Service) -> Result<Option<Candidate>, MissingCause> {
    let mut loads = Vec::new();
    for id in context.set.layout.ports().filter(|id| id.service == service) {
        let port = context.set.port(id).ok_or(MissingCause::Absent("absent-seat-load-of-all"))?;
        loads.push((add_load(port, Valve::Closed, 1.0, &PLAIN, &mut Budget::new(context))?, port));
    }
    let by_load = |a: &&(f64, &Port), b: &&(f64, &Port)| a.0.total_cmp(&b.0);
    let Some((weakest, strongest)) = loads.iter().min_by(by_load).zip(loads.iter().max_by(by_load)) else {
        return Ok(None);
    };
    if strongest.0 <= 0.0 {
        return Err(MissingCause::NotComputable(Box::new(Phrase::plain("sum-no-load"))));
    }
    let share = weakest.0 / strongest.0;
    let mut budget = Budget::new(context);
    if loads.len() > 1 {
        add_load(weakest.1, Valve::Closed, 1.0 / strongest.0, &WEAKEST, &mut budget)?;
        add_load(strongest.1, Valve::Closed, -share / strongest.0, &STRONGEST, &mut budget)?;
    }
    Ok(Some(Candidate::computed(Place::Port(weakest.1.id), share, budget)))
}

fn shims_needed(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let installed = need(&port.springs.installed_height, "absent-installed-height")?;
    let id = CharacteristicId::new("installed-height");
    let nominal = context.limit_with_nominal(id, port.id.service).and_then(|limit| limit.nominal);
    let nominal = nominal.ok_or(MissingCause::Absent("absent-nominal-installed-height"))?;
    let mut budget = Budget::new(context);
    budget.reading("installed height", 1.0, installed);
    out.push(Candidate::exact(Place::Whole, installed.value().exact() - nominal, budget));
    Ok(())
}

/// A rate with its readings in the budget, times `scale`.
pub(super) fn add_rate(spring: &Spring, sum: &metrology::RateSum, scale: f64, budget: &mut Budget<'_>) {
    let partials = sum.load_sensitivity.iter().zip(&sum.height_sensitivity);
    for (index, (point, (per_load, per_height))) in spring.loads.iter().zip(partials).enumerate() {
        budget.reading(nth("spring load", index), scale * per_load, &point.load);
        budget.reading(nth("height of the spring load", index), scale * per_height, &point.height);
    }
}

fn rate(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let springs = springs(port)?;
    for (number, spring) in (1..).zip(springs) {
        let sum = metrology::rate(&points(spring)?).map_err(not_computable)?;
        let mut budget = Budget::new(context);
        add_rate(spring, &sum, 1.0, &mut budget);
        out.push(Candidate::computed(spring_place(number, springs.len()), sum.value.get(), budget));
    }
    Ok(())
}

fn coil_bind(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let installed = need(&port.springs.installed_height, "absent-installed-height")?;
    let lift = need(&port.springs.lift, "absent-lift")?;
    let springs = springs(port)?;
    let mut all = Ok(());
    for (number, spring) in (1..).zip(springs) {
        let Some(solid) = &spring.solid_height else {
            all = Err(MissingCause::Absent("absent-solid-heights"));
            continue;
        };
        let sum = metrology::coil_bind_margin(own_height(spring, installed), lift.value(), solid.value());
        let mut budget = Budget::new(context);
        budget.reading("installed height", sum.sensitivity[0], installed);
        budget.reading("lift", sum.sensitivity[1], lift);
        budget.reading("solid height", sum.sensitivity[2], solid);
        if let Some(step) = &spring.seat_step {
            budget.reading("seat step", -sum.sensitivity[0], step);
        }
        out.push(Candidate::computed(spring_place(number, springs.len()), sum.value.get(), budget));
    }
    all
}

fn retainer(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let gap = need(&port.springs.retainer_travel, "absent-retainer-to-seal")?;
    let lift = need(&port.springs.lift, "absent-lift")?;
    let margin = gap.value() - lift.value();
    let mut budget = Budget::new(context);
    budget.reading("retainer to seal", 1.0, gap);
    budget.reading("lift", -1.0, lift);
    out.push(Candidate::exact(Place::Whole, margin.exact(), budget));
    Ok(())
}

fn per_spring(
    port: &Port,
    reading: impl Fn(&Spring) -> Option<&LengthReading>,
    absent: &'static str,
    out: &mut Candidates,
) -> Derived {
    let springs = springs(port)?;
    for (number, spring) in (1..).zip(springs) {
        if let Some(reading) = reading(spring) {
            out.push(Candidate::read(spring_place(number, springs.len()), reading));
        }
    }
    if out.len() == springs.len() { Ok(()) } else { Err(MissingCause::Absent(absent)) }
}

/// A single spring needs no number.
pub(super) const fn spring_place(number: u8, of: usize) -> Place {
    if of == 1 { Place::Whole } else { Place::Spring(number) }
}
