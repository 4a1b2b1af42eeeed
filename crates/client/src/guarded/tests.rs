use std::collections::VecDeque;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use reqwest::header::{HeaderMap, HeaderValue};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpListener;

use super::*;

fn guard(allowed: &[&str]) -> Guard {
    Guard { allowed: allowed.iter().map(|network| network.parse().unwrap()).collect(), https_only: false }
}

fn lets(guard: &Guard, address: &str) -> bool {
    guard.lets(address.parse().unwrap(), true)
}

/// The first and last address of each block that is special, from the registries of IANA (RFC 6890), from memory.
const SPECIAL: [(&str, &str); 26] = [
    ("0.0.0.0", "0.255.255.255"),
    ("10.0.0.0", "10.255.255.255"),
    ("100.64.0.0", "100.127.255.255"),
    ("127.0.0.0", "127.255.255.255"),
    ("169.254.0.0", "169.254.255.255"),
    ("172.16.0.0", "172.31.255.255"),
    ("192.0.0.0", "192.0.0.255"),
    ("192.0.2.0", "192.0.2.255"),
    ("192.88.99.0", "192.88.99.255"),
    ("192.168.0.0", "192.168.255.255"),
    ("198.18.0.0", "198.19.255.255"),
    ("198.51.100.0", "198.51.100.255"),
    ("203.0.113.0", "203.0.113.255"),
    ("224.0.0.0", "239.255.255.255"),
    ("240.0.0.0", "255.255.255.255"),
    ("::", "::ffff:ffff"),
    ("64:ff9b:1::", "64:ff9b:1:ffff:ffff:ffff:ffff:ffff"),
    ("100::", "100::1:ffff:ffff:ffff:ffff"),
    ("2001::", "2001:1ff:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("2001:db8::", "2001:db8:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("3fff::", "3fff:fff:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("5f00::", "5f00:ffff:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("fc00::", "fdff:ffff:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("fe80::", "febf:ffff:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("fec0::", "feff:ffff:ffff:ffff:ffff:ffff:ffff:ffff"),
    ("ff00::", "ffff:ffff:ffff:ffff:ffff:ffff:ffff:ffff"),
];

/// Their neighbours, which are not.
const PUBLIC: [&str; 30] = [
    "1.0.0.0",
    "9.255.255.255",
    "11.0.0.0",
    "100.63.255.255",
    "100.128.0.0",
    "126.255.255.255",
    "128.0.0.0",
    "169.253.255.255",
    "169.255.0.0",
    "172.15.255.255",
    "172.32.0.0",
    "191.255.255.255",
    "192.0.1.0",
    "192.0.3.0",
    "192.88.98.255",
    "192.88.100.0",
    "192.167.255.255",
    "192.169.0.0",
    "198.17.255.255",
    "198.20.0.0",
    "198.51.99.255",
    "198.51.101.0",
    "203.0.112.255",
    "203.0.114.0",
    "223.255.255.255",
    "2000::",
    "2001:200::",
    "2001:db7:ffff:ffff:ffff:ffff:ffff:ffff",
    "2001:db9::",
    "3fff:1000::",
];

#[test]
fn special_networks_are_refused_from_end_to_end_and_their_neighbours_are_not() {
    let guard = guard(&[]);
    for (first, last) in SPECIAL {
        assert!(!lets(&guard, first) && !lets(&guard, last), "{first} {last}");
    }
    for address in PUBLIC {
        assert!(lets(&guard, address), "{address}");
    }
}

/// The ways to write an address of IPv4 as one of IPv6: mapped, NAT64, 6to4.
fn forms(v4: &str) -> [String; 3] {
    let [a, b, c, d] = v4.parse::<std::net::Ipv4Addr>().unwrap().octets();
    let halves = format!("{a:x}{b:02x}:{c:x}{d:02x}");
    [format!("::ffff:{v4}"), format!("64:ff9b::{v4}"), format!("2002:{halves}::1")]
}

#[test]
fn an_address_that_stands_for_another_is_treated_like_it() {
    let guard = guard(&[]);
    for (first, last) in SPECIAL.iter().filter(|(first, _)| first.contains('.')) {
        for form in forms(first).iter().chain(&forms(last)) {
            assert!(!lets(&guard, form), "{form}");
        }
    }
    for address in PUBLIC.iter().filter(|address| address.contains('.')) {
        for form in forms(address) {
            assert!(lets(&guard, &form), "{form}");
        }
        // Compatible addresses were given up, whatever they stand for.
        assert!(!lets(&guard, &format!("::{address}")), "::{address}");
    }
}

#[test]
fn what_is_allowed_is_let_through_and_its_neighbours_are_not() {
    let guard = guard(&["10.1.0.0/16", "127.0.0.1/32", "fd12:3456::/32"]);
    for address in ["10.1.0.0", "10.1.255.255", "::ffff:10.1.2.3", "127.0.0.1", "fd12:3456::1", "9.9.9.9"] {
        assert!(lets(&guard, address), "{address}");
    }
    // One that another machine would have to translate is not the one that was allowed.
    for address in [
        "10.0.255.255",
        "10.2.0.0",
        "127.0.0.2",
        "fd12:3457::",
        "64:ff9b::10.1.2.3",
        "2002:a01:203::1",
        "::10.1.2.3",
    ] {
        assert!(!lets(&guard, address), "{address}");
    }
}

#[test]
fn link_local_and_metadata_addresses_are_refused_even_where_everything_is_allowed() {
    let guard = guard(&["0.0.0.0/0", "::/0", "169.254.0.0/16", "fe80::/10", "fd00:ec2::254/128"]);
    assert!(lets(&guard, "127.0.0.1") && lets(&guard, "fd00:ec2::253") && lets(&guard, "100.100.100.201"));
    let v4 = [
        "169.254.0.0",
        "169.254.169.254",
        "169.254.255.255",
        "100.100.100.200",
        "168.63.129.16",
        "192.0.0.192",
    ];
    for address in v4 {
        assert!(!lets(&guard, address) && !lets(&guard, &format!("::{address}")), "{address}");
        for form in forms(address) {
            assert!(!lets(&guard, &form), "{form}");
        }
    }
    for address in ["fe80::", "fe80::1", "febf:ffff::", "fd00:ec2::254", "fd20:ce::254"] {
        assert!(!lets(&guard, address), "{address}");
    }
}

/// Answers that are given one after the other; how often it was asked.
#[derive(Debug, Default)]
struct Told {
    answers: Mutex<VecDeque<Vec<IpAddr>>>,
    asked: AtomicUsize,
}

impl Told {
    fn new(answers: &[&[&str]]) -> Arc<Self> {
        let parsed = |answer: &&[&str]| answer.iter().map(|text| text.parse().unwrap()).collect();
        Arc::new(Self {
            answers: Mutex::new(answers.iter().map(parsed).collect()),
            asked: AtomicUsize::new(0),
        })
    }

    fn asked(&self) -> usize {
        self.asked.load(Ordering::SeqCst)
    }
}

impl Lookup for Told {
    fn look_up(&self, _: &str) -> Found {
        self.asked.fetch_add(1, Ordering::SeqCst);
        let next = self.answers.lock().unwrap().pop_front();
        Box::pin(async move { next.ok_or_else(|| io::Error::other("not known")) })
    }
}

/// A receiver; how many connections it saw.
struct Receiver {
    address: SocketAddr,
    seen: Arc<AtomicUsize>,
}

impl Receiver {
    async fn at(address: &str, answer: &'static [u8]) -> Self {
        let listener = TcpListener::bind(address).await.unwrap();
        let (address, seen) = (listener.local_addr().unwrap(), Arc::new(AtomicUsize::new(0)));
        let count = Arc::clone(&seen);
        tokio::spawn(async move {
            while let Ok((mut stream, _)) = listener.accept().await {
                count.fetch_add(1, Ordering::SeqCst);
                tokio::spawn(async move {
                    let mut request = [0; 4096];
                    let _ = stream.read(&mut request).await;
                    let _ = stream.write_all(answer).await;
                    // Held open: whoever waits for the end of the body waits in vain.
                    tokio::time::sleep(Duration::from_secs(60)).await;
                });
            }
        });
        Self { address, seen }
    }

    fn seen(&self) -> usize {
        self.seen.load(Ordering::SeqCst)
    }
}

const FINE: &[u8] = b"HTTP/1.1 204 No Content\r\n\r\n";

fn client(guard: Guard, lookup: Arc<dyn Lookup>) -> GuardedClient {
    GuardedClient::with_lookup(guard, Duration::from_secs(10), lookup).unwrap()
}

async fn deliver(client: &GuardedClient, url: &str) -> Result<Answer, DeliveryError> {
    client
        .deliver(
            url,
            HeaderMap::from_iter([("webhook-id".parse().unwrap(), HeaderValue::from_static("m"))]),
            "{}",
        )
        .await
}

#[tokio::test]
async fn what_is_connected_to_is_what_was_checked() {
    let good = Receiver::at("127.0.0.1:0", FINE).await;
    let port = good.address.port();
    let evil = Receiver::at(&format!("127.0.0.2:{port}"), FINE).await;
    let told = Told::new(&[&["127.0.0.1"], &["127.0.0.2"], &["127.0.0.2", "127.0.0.1"], &["127.0.0.2"]]);
    let client = client(guard(&["127.0.0.1/32"]), Arc::clone(&told) as _);
    let url = format!("http://receiver.example:{port}/hook");

    // The name means another address a moment later; it is not looked up between the check and the connection.
    assert_eq!(deliver(&client, &url).await.unwrap().status, 204);
    assert_eq!((told.asked(), good.seen(), evil.seen()), (1, 1, 0));
    // The next request is checked anew: no connection is kept.
    assert!(matches!(deliver(&client, &url).await, Err(DeliveryError::Refused)));
    assert_eq!((told.asked(), good.seen(), evil.seen()), (2, 1, 0));
    // Of several addresses those that are refused are dropped.
    assert_eq!(deliver(&client, &url).await.unwrap().status, 204);
    assert_eq!((told.asked(), good.seen(), evil.seen()), (3, 2, 0));
    // An encrypted request is checked alike.
    let encrypted = deliver(&client, &format!("https://receiver.example:{port}/")).await;
    assert!(matches!(encrypted, Err(DeliveryError::Refused)), "{encrypted:?}");
    assert_eq!((told.asked(), good.seen(), evil.seen()), (4, 2, 0));
    // A name that nobody knows is another matter.
    assert!(matches!(deliver(&client, &url).await, Err(DeliveryError::Transport(_))));
}

#[tokio::test]
async fn the_system_finds_this_machine_and_it_is_refused() {
    let here = Receiver::at("127.0.0.1:0", FINE).await;
    let port = here.address.port();
    let client = GuardedClient::new(guard(&["192.168.0.0/16"]), Duration::from_secs(10)).unwrap();
    for scheme in ["http", "https"] {
        let outcome = deliver(&client, &format!("{scheme}://localhost:{port}/")).await;
        assert!(matches!(outcome, Err(DeliveryError::Refused)), "{outcome:?}");
    }
    assert_eq!(here.seen(), 0);
    let client = GuardedClient::new(guard(&["127.0.0.0/8"]), Duration::from_secs(10)).unwrap();
    assert_eq!(deliver(&client, &format!("http://localhost:{port}/")).await.unwrap().status, 204);
}

#[tokio::test]
async fn addresses_without_a_name_are_checked_before_anything_is_sent() {
    let here = Receiver::at("127.0.0.1:0", FINE).await;
    let port = here.address.port();
    let told = Told::new(&[]);
    let client = client(guard(&["10.0.0.0/8"]), Arc::clone(&told) as _);
    for host in [
        "127.0.0.1",
        "127.1",
        "2130706433",
        "0x7f000001",
        "0177.0.0.1",
        "0x7f.1",
        "127.0.0.1.",
        "127.0.0.1",
        "0.0.0.0",
        "0",
        "[::1]",
        "[::]",
        "[::ffff:127.0.0.1]",
        "[::ffff:7f00:1]",
        "[::127.0.0.1]",
        "[64:ff9b::7f00:1]",
        "[2002:7f00:1::]",
        "169.254.169.254",
        "[fd00:ec2::254]",
    ] {
        for scheme in ["http", "https"] {
            let url = format!("{scheme}://{host}:{port}/");
            let outcome = deliver(&client, &url).await;
            assert!(matches!(outcome, Err(DeliveryError::Refused)), "{url}: {outcome:?}");
            assert!(matches!(client.check(&url), Err(DeliveryError::Refused)));
        }
    }
    assert_eq!((here.seen(), told.asked()), (0, 0));
}

#[tokio::test]
async fn only_addresses_of_the_web_are_called_and_without_encryption_only_allowed_networks() {
    let told = Told::new(&[&["9.9.9.9"]]);
    let strict = client(Guard { https_only: true, ..guard(&["127.0.0.0/8"]) }, Arc::clone(&told) as _);
    let outcome = deliver(&strict, "http://127.0.0.1:9/").await;
    assert!(matches!(outcome, Err(DeliveryError::NotEncrypted)), "{outcome:?}");
    assert!(strict.check("https://127.0.0.1:9/").is_ok());
    let usual = client(guard(&["127.0.0.0/8"]), Arc::clone(&told) as _);
    for other in [
        "ftp://receiver.example/",
        "file:///etc/passwd",
        "receiver.example",
        "",
        "https://",
        "https://a:b@receiver.example/",
    ] {
        assert!(matches!(deliver(&usual, other).await, Err(DeliveryError::Address)), "{other}");
    }
    assert_eq!(told.asked(), 0);
    // A public address, but not encrypted: it is not called.
    assert!(matches!(deliver(&usual, "http://receiver.example/").await, Err(DeliveryError::Refused)));
    assert!(matches!(usual.check("http://9.9.9.9/"), Err(DeliveryError::Refused)));
    assert!(usual.check("https://9.9.9.9/").is_ok());
    let nothing_allowed = client(guard(&[]), told);
    assert!(matches!(nothing_allowed.check("http://receiver.example/"), Err(DeliveryError::NotEncrypted)));
}

#[tokio::test]
async fn a_redirect_is_an_answer_and_the_body_is_not_read() {
    let target = Receiver::at("127.0.0.1:0", FINE).await;
    let text = format!(
        "HTTP/1.1 307 Temporary Redirect\r\nLocation: http://{}/\r\nRetry-After: 7\r\nContent-Length: 1000000000\r\n\r\n",
        target.address
    );
    let redirects = Receiver::at("127.0.0.1:0", text.leak().as_bytes()).await;
    let client = client(guard(&["127.0.0.0/8"]), Told::new(&[]));
    let answer = deliver(&client, &format!("http://{}/", redirects.address)).await.unwrap();
    assert_eq!(answer, Answer { status: 307, retry_after: Some(Duration::from_secs(7)) });
    assert_eq!((redirects.seen(), target.seen()), (1, 0));
}

#[tokio::test]
async fn who_does_not_answer_in_time_is_left_alone() {
    let silent = Receiver::at("127.0.0.1:0", b"").await;
    let lookup = Told::new(&[]);
    let client =
        GuardedClient::with_lookup(guard(&["127.0.0.0/8"]), Duration::from_millis(200), lookup).unwrap();
    let outcome = deliver(&client, &format!("http://{}/", silent.address)).await;
    assert!(matches!(outcome, Err(DeliveryError::TimedOut)), "{outcome:?}");
}
