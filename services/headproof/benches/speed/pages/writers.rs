//! General-purpose writers of PDF, each in a process of its own that renders what it is told to.

use std::error::Error;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::time::Duration;

use crate::{finished, median};

/// One of them at work.
pub(super) struct Writer {
    name: &'static str,
    child: Child,
    orders: ChildStdin,
    answers: BufReader<ChildStdout>,
    /// Where it leaves its files.
    out: PathBuf,
    /// What one document took in each turn.
    times: Vec<Duration>,
}

impl Writer {
    /// Starts it and has it render one document, unmeasured.
    pub(super) fn start(
        name: &'static str,
        mut command: Command,
        documents: &Path,
        room: &Path,
    ) -> Result<Self, Box<dyn Error>> {
        let out = room.join(name);
        std::fs::create_dir_all(&out)?;
        command.arg(documents).arg(&out).arg(room.join("typefaces"));
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn()?;
        let (orders, answers) = child.stdin.take().zip(child.stdout.take()).ok_or("no way to talk to it")?;
        let answers = BufReader::new(answers);
        let mut writer = Self { name, child, orders, answers, out, times: Vec::new() };
        writer.render(0, 1)?;
        Ok(writer)
    }

    /// Has it render some of the documents.
    pub(super) fn turn(&mut self, first: usize, count: usize) -> Result<(), Box<dyn Error>> {
        let seconds = self.render(first, count)?;
        self.times.push(Duration::from_secs_f64(seconds / count as f64));
        Ok(())
    }

    fn render(&mut self, first: usize, count: usize) -> Result<f64, Box<dyn Error>> {
        writeln!(self.orders, "{first} {count}")?;
        let mut answer = String::new();
        self.answers.read_line(&mut answer)?;
        answer.trim().parse().map_err(|_| format!("{} gave up", self.name).into())
    }

    /// Ends it; gives what it did.
    pub(super) fn end(self, documents: usize) -> Result<Done, Box<dyn Error>> {
        let Self { name, mut child, orders, out, mut times, .. } = self;
        drop(orders);
        child.wait()?;
        let file = |n: usize| std::fs::read(out.join(format!("{n:02}.pdf")));
        let files = (0..documents).map(file).collect::<Result<_, _>>()?;
        Ok(Done { name, time: median(&mut times), files })
    }
}

/// What one of them did.
pub(super) struct Done {
    /// Its name.
    pub(super) name: &'static str,
    /// Median time of one document.
    pub(super) time: Duration,
    /// Its files, in the order of the documents.
    pub(super) files: Vec<Vec<u8>>,
}

/// Those there are, with the commands that start them; says of the others why they are not there.
pub(super) fn writers(room: &Path) -> Result<Vec<(&'static str, Command)>, Box<dyn Error>> {
    let typefaces = room.join("typefaces");
    std::fs::create_dir_all(&typefaces)?;
    std::fs::write(typefaces.join("DejaVuSans.ttf"), dejavu::sans::regular())?;
    std::fs::write(typefaces.join("DejaVuSans-Bold.ttf"), dejavu::sans::bold())?;
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/speed/pages");
    let mut there = Vec::new();
    match built(&here, room) {
        Ok(program) => there.push(("printpdf", Command::new(program))),
        Err(error) => println!("pages: printpdf is not there: {error}"),
    }
    match installed(&here, room) {
        Ok(python) => there.extend(["reportlab", "typst", "fpdf2"].map(|name| {
            let mut command = Command::new(&python);
            command.arg(here.join(format!("writers/with_{name}.py")));
            (name, command)
        })),
        Err(error) => println!("pages: reportlab, typst and fpdf2 are not there: {error}"),
    }
    Ok(there)
}

/// printpdf with its usual features, in a program of its own.
fn built(here: &Path, room: &Path) -> Result<PathBuf, Box<dyn Error>> {
    let target = room.join("printpdf-pages");
    let package = here.join("printpdf/Cargo.toml");
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["build", "--release", "--quiet", "--locked", "--manifest-path"]).arg(package);
    finished(cargo.arg("--target-dir").arg(&target))?;
    Ok(target.join("release/printpdf-pages"))
}

/// A Python with the others; it is made when there is none or they have changed.
fn installed(here: &Path, room: &Path) -> Result<PathBuf, Box<dyn Error>> {
    let (asked, stamp) = (here.join("requirements.txt"), room.join("venv/installed"));
    let python = room.join("venv/bin/python");
    let packages = std::fs::read(&asked)?;
    if std::fs::read(&stamp).is_ok_and(|installed| installed == packages) {
        return Ok(python);
    }
    finished(Command::new("python3").args(["-m", "venv", "--clear"]).arg(room.join("venv")))?;
    let mut pip = Command::new(&python);
    pip.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"]);
    finished(pip.arg(asked))?;
    std::fs::write(stamp, packages)?;
    Ok(python)
}
