//! Who may ask: only names of this machine are answered, so that no page of another site reaches in.

use std::collections::BTreeSet;
use std::net::IpAddr;

use hyper::Request;
use hyper::body::Incoming;
use hyper::header;

/// Which host names are answered.
#[derive(Clone, Debug, Default)]
pub struct Hosts {
    /// Names besides those of this machine, without a port.
    pub names: BTreeSet<String>,
    /// Whether any numeric address is answered: if the preview was opened to others.
    pub any_address: bool,
}

impl Hosts {
    /// Whether a `Host` header or the host of an origin is one of these.
    fn answers(&self, host: &str) -> bool {
        let name = match host.strip_prefix('[') {
            Some(rest) => rest.split(']').next().unwrap_or_default(),
            None => host
                .rsplit_once(':')
                .map_or(host, |(name, port)| if port.bytes().all(|byte| byte.is_ascii_digit()) { name } else { host }),
        };
        let name = name.to_ascii_lowercase();
        match name.parse::<IpAddr>() {
            Ok(address) => address.is_loopback() || self.any_address,
            Err(_) => name == "localhost" || self.names.contains(&name),
        }
    }
}

/// Whether a request names this preview as its host, and comes from no page of another site.
pub(super) fn is_at_home(request: &Request<Incoming>, hosts: &Hosts) -> bool {
    let header = |name| request.headers().get(name).map(|value| value.to_str().unwrap_or("?"));
    let host = header(header::HOST).or_else(|| request.uri().host());
    // An address in full names a host too.
    let other = request.uri().authority().is_some_and(|named| !hosts.answers(named.as_str()));
    if other || !host.is_some_and(|host| hosts.answers(host)) {
        return false;
    }
    let from = header(header::ORIGIN).is_none_or(|origin| {
        origin.strip_prefix("http://").is_some_and(|origin| hosts.answers(origin) && Some(origin) == host)
    });
    let site = |name: &str| request.headers().get(name).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let asked_from_afar = site("sec-fetch-site") == "cross-site" && site("sec-fetch-mode") != "navigate";
    from && !asked_from_afar
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_answered() {
        let home = Hosts::default();
        for host in ["localhost", "LOCALHOST:43560", "127.0.0.1:1", "127.9.9.9", "[::1]:80"] {
            assert!(home.answers(host), "{host}");
        }
        for host in [
            "example.org",
            "localhost.example.org",
            "192.168.1.5:80",
            "127.0.0.1.example.org",
            "",
            "[fe80::1]",
            "localhost:80:80",
        ] {
            assert!(!home.answers(host), "{host}");
        }
        let open = Hosts { names: BTreeSet::from(["tablet.local".to_owned()]), any_address: true };
        assert!(open.answers("192.168.1.5:80") && open.answers("tablet.local:80") && !open.answers("evil.example"));
    }
}
