//! What a document says, looked for in its pages with pdftotext.

use std::collections::BTreeMap;
use std::error::Error;
use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

/// Words and figures, and how many times each is said.
pub(super) struct Words(BTreeMap<String, usize>);

impl Words {
    /// Those of a document: all its texts, and its figures (what stands under `v`) with three decimals.
    pub(super) fn of(text: &str) -> serde_json::Result<Self> {
        let mut said = Self(BTreeMap::new());
        said.collect(&serde_json::from_str(text)?, false);
        Ok(said)
    }

    fn collect(&mut self, value: &Value, printed: bool) {
        match value {
            Value::String(text) => text.split_whitespace().for_each(|word| self.add(word)),
            Value::Number(number) if printed => {
                self.add(&format!("{:.3}", number.as_f64().unwrap_or_default()));
            }
            Value::Array(values) => values.iter().for_each(|value| self.collect(value, printed)),
            Value::Object(fields) => fields.iter().for_each(|(key, value)| self.collect(value, key == "v")),
            _ => {}
        }
    }

    fn add(&mut self, word: &str) {
        let word = without_minus_zero(word);
        *self.0.entry(word.to_owned()).or_default() += 1;
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.0.values().sum()
    }

    /// Finds each of them in a PDF as often as it is said, and on each page its number.
    pub(super) fn look_for_in(&self, file: &[u8]) -> Result<(), Box<dyn Error>> {
        let text = text_of(file)?.replace('\u{2212}', "-");
        let pages: Vec<&str> = text.split_terminator('\u{C}').collect();
        let mut found: BTreeMap<&str, usize> = BTreeMap::new();
        for (n, page) in pages.iter().enumerate() {
            let words: Vec<&str> = page.split_whitespace().collect();
            let number = format!("page {} of {}", n + 1, pages.len());
            if !words.join(" ").contains(&number) {
                return Err(format!("\u{201C}{number}\u{201D} is not on its page").into());
            }
            words.into_iter().for_each(|word| *found.entry(without_minus_zero(word)).or_default() += 1);
        }
        let lost =
            |(word, count): &(&String, &usize)| found.get(word.as_str()).is_none_or(|found| *found < **count);
        match self.0.iter().find(lost) {
            Some((word, count)) => Err(format!("{word} is not on the pages {count} times").into()),
            None => Ok(()),
        }
    }
}

/// Our pages never say minus zero, others do: both mean the same figure.
fn without_minus_zero(word: &str) -> &str {
    if word == "-0.000" { "0.000" } else { word }
}

fn text_of(file: &[u8]) -> Result<String, Box<dyn Error>> {
    let mut child = Command::new("pdftotext")
        .args(["-layout", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()?;
    child.stdin.take().ok_or("no way to hand over the file")?.write_all(file)?;
    let output = child.wait_with_output()?;
    if !output.status.success() {
        return Err("pdftotext failed".into());
    }
    Ok(String::from_utf8(output.stdout)?)
}
