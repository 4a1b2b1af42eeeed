//! Lists that come in pages.

use reqwest::Url;
use reqwest::header::{HeaderMap, LINK};
use serde::de::DeserializeOwned;

use crate::call::Call;
use crate::{Client, ClientError};

/// A part of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page<T> {
    /// What is on it.
    pub items: Vec<T>,
    /// The link to the next, unless this is the last.
    pub next: Option<String>,
}

impl Client {
    /// The page that another says is the next.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn page<T: DeserializeOwned>(&self, link: &str) -> Result<Page<T>, ClientError> {
        let answer = Call::get(self, link).answer().await?;
        let next = next(&answer.headers).map(|address| {
            self.link_of(&address)
                .ok_or_else(|| ClientError::Unexpected(format!("the next page is elsewhere: {address}")))
        });
        Ok(Page { items: answer.document()?, next: next.transpose()? })
    }
}

/// A link with a query of what is given of it.
pub(crate) fn with_query(link: &str, wishes: &[(impl AsRef<str>, Option<String>)]) -> String {
    let mut url = Url::parse("http://service").unwrap_or_else(|_| unreachable!("it is one"));
    for (name, value) in wishes {
        if let Some(value) = value {
            url.query_pairs_mut().append_pair(name.as_ref(), value);
        }
    }
    url.query().map_or_else(|| link.to_owned(), |query| format!("{link}?{query}"))
}

/// The target of the link with the relation `next` (RFC 8288, 3).
fn next(headers: &HeaderMap) -> Option<String> {
    headers.get_all(LINK).iter().filter_map(|value| value.to_str().ok()).find_map(|mut text| {
        loop {
            let (target, rest) = text.split_once('<')?.1.split_once('>')?;
            // The parameters reach to the beginning of the next link.
            let parameters = rest.split_once('<').map_or(rest, |(parameters, _)| parameters);
            if parameters.split([';', ',']).any(is_next) {
                return Some(target.to_owned());
            }
            text = rest;
        }
    })
}

fn is_next(parameter: &str) -> bool {
    parameter.split_once('=').is_some_and(|(name, value)| {
        let relations = value.trim().trim_matches('"');
        name.trim().eq_ignore_ascii_case("rel")
            && relations.split(' ').any(|relation| relation.eq_ignore_ascii_case("next"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_page_is_found_among_links() {
        let of = |values: &[&str]| next(&values.iter().map(|value| (LINK, value.parse().unwrap())).collect());
        let found = Some("/v1/jobs?cursor=a,b;c".to_owned());
        assert_eq!(of(&[r#"</v1/jobs?cursor=a,b;c>; rel="next""#]), found);
        assert_eq!(of(&["</v1/jobs?cursor=a,b;c>;rel=next"]), found);
        assert_eq!(
            of(&[r#"</first>; rel="first", </v1/jobs?cursor=a,b;c>; title="x"; REL="last next""#]),
            found
        );
        assert_eq!(of(&[r#"</first>; rel="first""#, r#"</v1/jobs?cursor=a,b;c>; rel="next""#]), found);
        for none in ["", r#"</x>; rel="prev""#, "</x>", r#"</x; rel="next""#, r#"</x>; rel="nextone""#] {
            assert_eq!(of(&[none]), None, "{none}");
        }
    }

    #[test]
    fn only_what_is_given_stands_in_a_query() {
        assert_eq!(with_query("/v1/jobs", &[("state", None), ("head", None)]), "/v1/jobs");
        let wishes = [("state", None), ("head", Some("A&B 7".to_owned())), ("limit", Some("5".to_owned()))];
        assert_eq!(with_query("/v1/jobs", &wishes), "/v1/jobs?head=A%26B+7&limit=5");
    }

    #[test]
    fn a_link_elsewhere_is_not_followed() {
        let client = Client::new("http://127.0.0.1:9/shop/").unwrap();
        assert_eq!(client.link_of("/v1/jobs?x").as_deref(), Some("/v1/jobs?x"));
        assert_eq!(client.link_of("http://127.0.0.1:9/shop/v1/jobs").as_deref(), Some("/v1/jobs"));
        for elsewhere in
            ["http://other.example/v1/jobs", "//other.example/v1", "", "?x", "http://127.0.0.1:9/shop@x/"]
        {
            assert_eq!(client.link_of(elsewhere), None, "{elsewhere}");
        }
    }
}
