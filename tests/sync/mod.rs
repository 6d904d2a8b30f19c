//! Model phones on a link that loses requests and answers, delivers twice, reorders and cuts, over the real
//! router and the real storage, which is killed and restored from older copies meanwhile.
//!
//! One seed decides everything that happens, and is printed: `UNDERLAMP_SEED=<n> cargo test --test all sync::`
//! runs that one again.
//!
//! What can go wrong on the way, and where it is tried:
//!
//! | fault | where |
//! |---|---|
//! | request lost, answer lost after commit, delivered twice, reordered | `storm`, [`link::Fault`] |
//! | two senders at once | `http::sync::two_deliveries_at_once_are_applied_once` |
//! | process killed between requests | `storm`, `TestApp::restart`; with `kill -9` in `browser` |
//! | photo cut at any byte, server restarted between its pieces | `storm`, `Phone::push_photo` |
//! | server restored from an older backup | `storm`: phones give back what it lacks |
//! | phone wiped | `storm`: only what it had not sent is gone |
//! | phone clock wrong by a year, either way | `storm`: stamped again, order kept |
//! | card deleted at the desk meanwhile | `storm`, and `http::sync` |
//! | one poisonous change among good ones | `storm`, and `http::sync` |
//! | disk full | `http::sync::a_full_disk_is_told_and_nothing_half_done_stays` |
//! | session ended | `storm`: kept until paired again |
//! | certificate renewed | `http::tls` |
//! | killed while saving, two tabs, update while the outbox is full | `browser`, and the scripts' own tests |

mod fold;
mod link;
mod phone;
mod storm;
mod vectors;
