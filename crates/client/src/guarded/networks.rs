//! Which addresses are anybody's on the internet, and which mean something else.
//!
//! Source: the registries of special-purpose addresses of IANA (RFC 6890) for IPv4 and IPv6; RFC 5771 and RFC 4291
//! for multicast.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

use ipnet::{IpNet, Ipv4Net, Ipv6Net};

/// What nobody on the internet can be reached at, or nobody in particular.
const SPECIAL_V4: [Ipv4Net; 16] = [
    v4([0, 0, 0, 0], 8),       // this network; 0.0.0.0 reaches this machine
    v4([10, 0, 0, 0], 8),      // private
    v4([100, 64, 0, 0], 10),   // shared with a carrier's customers
    v4([127, 0, 0, 0], 8),     // loopback
    v4([169, 254, 0, 0], 16),  // link-local
    v4([172, 16, 0, 0], 12),   // private
    v4([192, 0, 0, 0], 24),    // protocol assignments
    v4([192, 0, 2, 0], 24),    // documentation
    v4([192, 88, 99, 0], 24),  // 6to4 relays, given up
    v4([192, 168, 0, 0], 16),  // private
    v4([198, 18, 0, 0], 15),   // benchmarking
    v4([198, 51, 100, 0], 24), // documentation
    v4([203, 0, 113, 0], 24),  // documentation
    v4([224, 0, 0, 0], 4),     // multicast
    v4([240, 0, 0, 0], 4),     // reserved
    v4([255, 255, 255, 255], 32),
];

/// All that is given out to be reached: everything special lies outside, but for [`SPECIAL_V6`].
const GLOBAL_V6: Ipv6Net = v6([0x2000, 0, 0, 0, 0, 0, 0, 0], 3);
/// What is special within [`GLOBAL_V6`].
const SPECIAL_V6: [Ipv6Net; 3] = [
    v6([0x2001, 0, 0, 0, 0, 0, 0, 0], 23), // protocol assignments: Teredo, benchmarking, ORCHID and others
    v6([0x2001, 0xdb8, 0, 0, 0, 0, 0, 0], 32), // documentation
    v6([0x3fff, 0, 0, 0, 0, 0, 0, 0], 20), // documentation
];

/// The forms of IPv6 addresses that stand for one of IPv4.
const COMPATIBLE: Ipv6Net = v6([0, 0, 0, 0, 0, 0, 0, 0], 96);
const NAT64: Ipv6Net = v6([0x64, 0xff9b, 0, 0, 0, 0, 0, 0], 96);
const SIX_TO_FOUR: Ipv6Net = v6([0x2002, 0, 0, 0, 0, 0, 0, 0], 16);

/// Where a machine learns secrets of its own from whoever runs it. Some lie outside the link-local networks. (All but
/// the first from memory.)
const METADATA: [IpAddr; 5] = [
    IpAddr::V6(Ipv6Addr::new(0xfd00, 0xec2, 0, 0, 0, 0, 0, 0x254)),
    IpAddr::V6(Ipv6Addr::new(0xfd20, 0xce, 0, 0, 0, 0, 0, 0x254)),
    IpAddr::V4(Ipv4Addr::new(100, 100, 100, 200)),
    IpAddr::V4(Ipv4Addr::new(168, 63, 129, 16)),
    IpAddr::V4(Ipv4Addr::new(192, 0, 0, 192)),
];

const fn v4([a, b, c, d]: [u8; 4], length: u8) -> Ipv4Net {
    Ipv4Net::new_assert(Ipv4Addr::new(a, b, c, d), length)
}

const fn v6([a, b, c, d, e, f, g, h]: [u16; 8], length: u8) -> Ipv6Net {
    Ipv6Net::new_assert(Ipv6Addr::new(a, b, c, d, e, f, g, h), length)
}

/// Can it never be anybody's who may be called, whatever an operator allows: is it link-local, or does it give away secrets
/// of this machine?
pub(super) fn is_never_allowed(address: IpAddr) -> bool {
    METADATA.contains(&address)
        || match address {
            IpAddr::V4(v4) => v4.is_link_local(),
            IpAddr::V6(v6) => {
                v6.is_unicast_link_local() || embedded(v6).is_some_and(|v4| is_never_allowed(v4.into()))
            }
        }
}

/// Is it an address that anybody on the internet may have?
pub(super) fn is_public(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(v4) => !SPECIAL_V4.iter().any(|network| network.contains(&v4)),
        IpAddr::V6(v6) if COMPATIBLE.contains(&v6) => false,
        IpAddr::V6(v6) => match embedded(v6) {
            Some(v4) => is_public(v4.into()),
            None => GLOBAL_V6.contains(&v6) && !SPECIAL_V6.iter().any(|network| network.contains(&v6)),
        },
    }
}

/// Does one of the networks have it? An address of IPv4 may be written as one of IPv6 (RFC 4291, 2.5.5.2).
pub(super) fn is_among(networks: &[IpNet], address: IpAddr) -> bool {
    let address = address.to_canonical();
    networks.iter().any(|network| network.contains(&address))
}

/// The address of IPv4 that one of IPv6 stands for: mapped and compatible (RFC 4291, 2.5.5), NAT64 (RFC 6052, 2.1), 6to4
/// (RFC 3056, 2).
fn embedded(address: Ipv6Addr) -> Option<Ipv4Addr> {
    let bytes = address.octets();
    let at = |place: usize| Ipv4Addr::new(bytes[place], bytes[place + 1], bytes[place + 2], bytes[place + 3]);
    if SIX_TO_FOUR.contains(&address) {
        return Some(at(2));
    }
    let stands = COMPATIBLE.contains(&address) || NAT64.contains(&address);
    (stands || address.to_ipv4_mapped().is_some()).then(|| at(12))
}
