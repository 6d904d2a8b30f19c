//! What a WebDAV server says of a folder: RFC 4918, section 13 (multistatus), and RFC 4331 (how much room there is).

use percent_encoding::percent_decode_str;
use roxmltree::{Document, Node};

const DAV: &str = "DAV:";

/// What is asked of the folder and of everything in it.
pub const QUESTION: &str = "<?xml version=\"1.0\" encoding=\"utf-8\"?>\
    <propfind xmlns=\"DAV:\"><prop><resourcetype/><getcontentlength/><quota-available-bytes/></prop></propfind>";

/// One thing that the answer speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The last part of its address, as a name.
    pub name: String,
    pub is_folder: bool,
    pub bytes: Option<u64>,
    /// Room left, where the server tells.
    pub room: Option<u64>,
}

/// Reads an answer. `None` where it is none.
pub fn read(text: &str) -> Option<Vec<Told>> {
    let document = Document::parse(text).ok()?;
    let root = document.root_element();
    if !root.has_tag_name((DAV, "multistatus")) {
        return None;
    }
    Some(root.children().filter(|node| node.has_tag_name((DAV, "response"))).filter_map(told).collect())
}

fn told(response: Node<'_, '_>) -> Option<Told> {
    let href = response.children().find(|node| node.has_tag_name((DAV, "href")))?.text()?.trim();
    let found: Vec<Node<'_, '_>> = response.children().filter(|node| is_found(*node)).collect();
    let property =
        |name: &str| found.iter().flat_map(|status| status.descendants()).find(|node| node.has_tag_name((DAV, name)));
    let number = |name: &str| property(name).and_then(|node| node.text()).and_then(|text| text.trim().parse().ok());
    let is_folder =
        property("resourcetype").is_some_and(|kind| kind.children().any(|node| node.has_tag_name((DAV, "collection"))));
    Some(Told {
        name: name_of(href)?,
        is_folder,
        bytes: number("getcontentlength"),
        room: number("quota-available-bytes"),
    })
}

/// Properties are grouped by how asking for them went; those that were found say 200.
fn is_found(node: Node<'_, '_>) -> bool {
    let status = || node.children().find(|node| node.has_tag_name((DAV, "status"))).and_then(|node| node.text());
    node.has_tag_name((DAV, "propstat")) && status().is_some_and(|line| line.split(' ').nth(1) == Some("200"))
}

/// The last part of an address: an absolute path or a whole URL, percent-encoded (RFC 3986).
fn name_of(href: &str) -> Option<String> {
    let path = href.split(['?', '#']).next()?.trim_end_matches('/');
    let last = path.rsplit('/').next()?;
    Some(percent_decode_str(last).decode_utf8().ok()?.into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shaped after the example of RFC 4918, section 9.1.5, with other names.
    #[test]
    fn files_folders_sizes_and_room_are_read_whatever_the_prefix() {
        let text = r#"<?xml version="1.0" encoding="utf-8" ?>
            <D:multistatus xmlns:D="DAV:" xmlns:x="urn:other">
              <D:response><D:href>http://nas.example/keep/my%20garage/</D:href>
                <D:propstat><D:prop><D:resourcetype><D:collection/></D:resourcetype>
                  <D:quota-available-bytes>5000</D:quota-available-bytes></D:prop><D:status>HTTP/1.1 200 OK</D:status></D:propstat>
                <D:propstat><D:prop><D:getcontentlength/></D:prop><D:status>HTTP/1.1 404 Not Found</D:status></D:propstat>
              </D:response>
              <D:response><D:href>/keep/my%20garage/a%2Bb.backup</D:href>
                <D:propstat><D:prop><D:resourcetype/><D:getcontentlength>123</D:getcontentlength></D:prop>
                  <D:status>HTTP/1.1 200 OK</D:status></D:propstat>
              </D:response>
            </D:multistatus>"#;
        let folder = Told { name: "my garage".into(), is_folder: true, bytes: None, room: Some(5000) };
        let file = Told { name: "a+b.backup".into(), is_folder: false, bytes: Some(123), room: None };
        assert_eq!(read(text), Some(vec![folder, file]));
    }

    #[test]
    fn what_is_no_answer_of_a_webdav_server_is_told_apart() {
        for text in ["", "<html><body>Welcome</body></html>", "<multistatus/>", "{}", "<multistatus xmlns=\"DAV:\">"] {
            assert_eq!(read(text), None, "{text}");
        }
        let bomb = "<!DOCTYPE m [<!ENTITY a \"aaaa\">]><multistatus xmlns=\"DAV:\">&a;</multistatus>";
        assert_eq!(read(bomb), None, "entities of its own are refused");
    }
}
