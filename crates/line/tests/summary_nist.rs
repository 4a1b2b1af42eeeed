//! NIST/ITL Statistical Reference Datasets (StRD): moments, analysis of variance and a straight line against
//! the certified values, 15 digits each. Data are read as exact decimals and scaled to whole counts.

use headproof_line::{CodeSums, Groups, Moments, Trend};

/// Decimals of a data file as counts of 10 to the power of minus `decimals`, one list for a line.
fn counts(text: &str, decimals: usize) -> Vec<Vec<i64>> {
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines.map(|line| line.split_whitespace().map(|word| count(word, decimals)).collect()).collect()
}

fn count(word: &str, decimals: usize) -> i64 {
    let (whole, fraction) = word.split_once('.').unwrap_or((word, ""));
    assert!(fraction.len() <= decimals, "{word} has more than {decimals} decimals");
    format!("{whole}{fraction:0<decimals$}").parse().expect("a number")
}

/// The log relative error: how many digits agree with the certified value, 15 at most.
fn lre(set: &str, what: &str, ours: f64, certified: f64, floor: f64) {
    let off = ((ours - certified) / certified).abs();
    let digits = if off == 0.0 { 15.0 } else { (-off.log10()).min(15.0) };
    println!("{set}: {what} {ours:.15e}, certified {certified:.15e}, {digits:.1} digits");
    assert!(digits >= floor, "{set}: {what} {ours:e} against {certified:e}");
}

fn moments(values: impl IntoIterator<Item = i64>) -> Moments {
    let mut moments = Moments::default();
    for value in values {
        moments.observe(value).expect("fits");
    }
    moments
}

fn univariate(set: &str, moments: &Moments, step: f64, mean: f64, s: f64) {
    lre(set, "mean", moments.mean().expect("values") / step, mean, 14.5);
    lre(set, "s", moments.s().expect("values") / step, s, 14.4);
}

#[test]
fn lottery_and_michelso() {
    let lottery = counts(include_str!("data/lottery.txt"), 0).concat();
    assert_eq!(lottery.len(), 218);
    univariate("Lottery", &moments(lottery), 1.0, 518.958_715_596_330, 291.699_727_470_969);
    let michelso = counts(include_str!("data/michelso.txt"), 2).concat();
    assert_eq!(michelso.len(), 100);
    univariate("Michelso", &moments(michelso), 100.0, 299.852_4, 0.079_010_547_819_051_8);
}

/// Their data are a rule: three numbers, and one number then 500 pairs.
#[test]
fn numacc_1_to_4() {
    univariate("NumAcc1", &moments([10_000_001, 10_000_003, 10_000_002]), 1.0, 10_000_002.0, 1.0);
    for (set, offset) in [("NumAcc2", 10), ("NumAcc3", 10_000_000), ("NumAcc4", 100_000_000)] {
        let pairs = std::iter::repeat_n([offset + 1, offset + 3], 500).flatten();
        let moments = moments(std::iter::once(offset + 2).chain(pairs));
        assert_eq!(moments.n(), 1001);
        univariate(set, &moments, 10.0, (offset + 2) as f64 / 10.0, 0.1);
    }
}

struct Certified {
    set: &'static str,
    data: &'static str,
    decimals: usize,
    between: f64,
    within: f64,
    degrees: (u64, u64),
    f: f64,
    r_squared: f64,
    s: f64,
}

#[test]
fn analysis_of_variance() {
    let sm_ls = |set, data| Certified {
        set,
        data,
        decimals: 1,
        between: 1.68,
        within: 1.8,
        degrees: (8, 180),
        f: 21.0,
        r_squared: 0.482_758_620_689_655,
        s: 0.1,
    };
    for c in [
        Certified {
            set: "SiRstv",
            data: include_str!("data/sirstv.txt"),
            decimals: 4,
            between: 5.114_626_16e-2,
            within: 2.166_365_6e-1,
            degrees: (4, 20),
            f: 1.180_462_374_402_55,
            r_squared: 1.909_990_390_511_29e-1,
            s: 1.040_760_683_346_56e-1,
        },
        sm_ls("SmLs01", include_str!("data/smls01.txt")),
        sm_ls("SmLs04", include_str!("data/smls04.txt")),
        sm_ls("SmLs07", include_str!("data/smls07.txt")),
        Certified {
            set: "AtmWtAg",
            data: include_str!("data/atmwtag.txt"),
            decimals: 7,
            between: 3.638_341_875e-9,
            within: 1.049_517_291_666_67e-8,
            degrees: (1, 46),
            f: 15.946_733_567_793,
            r_squared: 2.574_265_445_383_21e-1,
            s: 1.510_483_144_464_1e-5,
        },
    ] {
        let mut groups = Groups::default();
        for (code, values) in counts(c.data, c.decimals).into_iter().enumerate() {
            // Each value a head of its own.
            let mut heads = Trend::default();
            for value in values {
                heads.observe(0, value).expect("fits");
            }
            let sums = CodeSums { values: *heads.values(), heads };
            groups.add(&code.to_string(), &sums).expect("fits");
        }
        let anova = groups.anova().expect("groups that differ");
        let step = 10f64.powi(i32::try_from(c.decimals).expect("few"));
        assert_eq!((anova.degrees_between, anova.degrees_within), c.degrees);
        lre(c.set, "between", anova.between / step / step, c.between, 14.0);
        lre(c.set, "within", anova.within / step / step, c.within, 14.0);
        lre(c.set, "F", anova.f, c.f, 14.0);
        lre(c.set, "R²", anova.r_squared, c.r_squared, 14.0);
        lre(c.set, "s", anova.s / step, c.s, 14.0);
    }
}

#[test]
fn norris() {
    let mut trend = Trend::default();
    for pair in counts(include_str!("data/norris.txt"), 1) {
        trend.observe(pair[1], pair[0]).expect("fits");
    }
    let line = trend.line().expect("a line");
    assert_eq!(line.n, 36);
    lre("Norris", "B0", line.intercept / 10.0, -0.262_323_073_774_029, 14.0);
    lre("Norris", "s of B0", line.intercept_error / 10.0, 0.232_818_234_301_152, 14.0);
    lre("Norris", "B1", line.slope, 1.002_116_818_020_45, 14.0);
    lre("Norris", "s of B1", line.slope_error, 0.429_796_848_199_937e-3, 14.0);
    lre("Norris", "s", line.s / 10.0, 0.884_796_396_144_373, 14.0);
    lre("Norris", "R²", line.r_squared.expect("values that differ"), 0.999_993_745_883_712, 14.0);
    let t = line.significance.expect("a rest").t;
    lre("Norris", "F", t * t, 5_436_385.540_797_85, 14.0);
}
