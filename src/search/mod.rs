//! The cheapest gear on hand that makes the date, for the planned coating (`cheapest.rs`) and for every other way to coat (`ways.rs`).

mod candidates;
mod cheapest;
mod judge;
mod ways;

pub use candidates::{Candidate, Candidates, MOST_CANDIDATES, candidates, describe, setup};
pub use cheapest::{BestSoFar, Found, Instead, JUDGE_ALL, Judged, Progress, Screened, search};
pub use judge::{Costs, Ranked, fewest_days, lower_bound};
pub use ways::{WayPlan, job_of_way, ready, search_ways};
