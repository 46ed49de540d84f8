//! Names of the regions and countries in the table of places: how people write them after the name of a town.

/// A state, province or part of a country: its country, how the table writes it, and its name in full.
pub(super) struct Region {
    pub(super) country: &'static str,
    pub(super) code: &'static str,
    pub(super) name: &'static str,
}

/// A country: how the table writes it (ISO 3166 alpha-3), how it is shown, and what else people write.
pub(super) struct Country {
    pub(super) code: &'static str,
    pub(super) name: &'static str,
    pub(super) others: &'static [&'static str],
}

const fn region(country: &'static str, code: &'static str, name: &'static str) -> Region {
    Region {
        country,
        code,
        name,
    }
}

const fn country(
    code: &'static str,
    name: &'static str,
    others: &'static [&'static str],
) -> Country {
    Country { code, name, others }
}

/// Regions that the table writes by a code. Those that it writes in full, such as Scotland, need no row.
#[rustfmt::skip]
pub(super) const REGIONS: &[Region] = &[
    region("USA", "AL", "Alabama"), region("USA", "AK", "Alaska"), region("USA", "AZ", "Arizona"), region("USA", "AR", "Arkansas"),
    region("USA", "CA", "California"), region("USA", "CO", "Colorado"), region("USA", "CT", "Connecticut"), region("USA", "DE", "Delaware"),
    region("USA", "DC", "District of Columbia"), region("USA", "FL", "Florida"), region("USA", "GA", "Georgia"), region("USA", "GU", "Guam"),
    region("USA", "HI", "Hawaii"), region("USA", "ID", "Idaho"), region("USA", "IL", "Illinois"), region("USA", "IN", "Indiana"),
    region("USA", "IA", "Iowa"), region("USA", "KS", "Kansas"), region("USA", "KY", "Kentucky"), region("USA", "LA", "Louisiana"),
    region("USA", "ME", "Maine"), region("USA", "MD", "Maryland"), region("USA", "MA", "Massachusetts"), region("USA", "MI", "Michigan"),
    region("USA", "MN", "Minnesota"), region("USA", "MS", "Mississippi"), region("USA", "MO", "Missouri"), region("USA", "MT", "Montana"),
    region("USA", "NE", "Nebraska"), region("USA", "NV", "Nevada"), region("USA", "NH", "New Hampshire"), region("USA", "NJ", "New Jersey"),
    region("USA", "NM", "New Mexico"), region("USA", "NY", "New York"), region("USA", "NC", "North Carolina"), region("USA", "ND", "North Dakota"),
    region("USA", "OH", "Ohio"), region("USA", "OK", "Oklahoma"), region("USA", "OR", "Oregon"), region("USA", "PA", "Pennsylvania"),
    region("USA", "PR", "Puerto Rico"), region("USA", "RI", "Rhode Island"), region("USA", "SC", "South Carolina"), region("USA", "SD", "South Dakota"),
    region("USA", "TN", "Tennessee"), region("USA", "TX", "Texas"), region("USA", "UT", "Utah"), region("USA", "VT", "Vermont"),
    region("USA", "VA", "Virginia"), region("USA", "VI", "Virgin Islands"), region("USA", "WA", "Washington"), region("USA", "WV", "West Virginia"),
    region("USA", "WI", "Wisconsin"), region("USA", "WY", "Wyoming"),
    region("CAN", "AB", "Alberta"), region("CAN", "MB", "Manitoba"), region("CAN", "NL", "Newfoundland and Labrador"), region("CAN", "NS", "Nova Scotia"),
    region("CAN", "NU", "Nunavut"), region("CAN", "ON", "Ontario"), region("CAN", "PE", "Prince Edward Island"), region("CAN", "QC", "Quebec"),
    region("CAN", "SK", "Saskatchewan"), region("CAN", "YT", "Yukon"),
    region("AUS", "ACT", "Australian Capital Territory"), region("AUS", "NSW", "New South Wales"), region("AUS", "NT", "Northern Territory"),
    region("AUS", "QLD", "Queensland"), region("AUS", "SA", "South Australia"), region("AUS", "TAS", "Tasmania"), region("AUS", "VIC", "Victoria"),
    region("AUS", "WA", "Western Australia"),
];

#[rustfmt::skip]
pub(super) const COUNTRIES: &[Country] = &[
    country("USA", "USA", &["US", "United States", "United States of America"]), country("CAN", "Canada", &[]), country("MEX", "Mexico", &[]),
    country("GBR", "UK", &["Great Britain", "United Kingdom", "GB"]), country("IRL", "Ireland", &[]), country("FRA", "France", &[]),
    country("DEU", "Germany", &["Deutschland"]), country("ESP", "Spain", &[]), country("PRT", "Portugal", &[]), country("ITA", "Italy", &[]),
    country("NLD", "Netherlands", &["The Netherlands", "Holland"]), country("BEL", "Belgium", &[]), country("LUX", "Luxembourg", &[]),
    country("CHE", "Switzerland", &[]), country("AUT", "Austria", &[]), country("NOR", "Norway", &[]), country("SWE", "Sweden", &[]),
    country("FIN", "Finland", &[]), country("ISL", "Iceland", &[]), country("POL", "Poland", &[]), country("CZE", "Czechia", &["Czech Republic"]),
    country("SVK", "Slovakia", &[]), country("HUN", "Hungary", &[]), country("SVN", "Slovenia", &[]), country("HRV", "Croatia", &[]),
    country("SRB", "Serbia", &[]), country("ROU", "Romania", &[]), country("BGR", "Bulgaria", &[]), country("GRC", "Greece", &[]),
    country("TUR", "Turkey", &["Turkiye"]), country("EST", "Estonia", &[]), country("LVA", "Latvia", &[]), country("LTU", "Lithuania", &[]),
    country("UKR", "Ukraine", &[]), country("MLT", "Malta", &[]), country("CYP", "Cyprus", &[]), country("AUS", "Australia", &[]),
    country("NZL", "New Zealand", &["NZ"]), country("JPN", "Japan", &[]), country("KOR", "South Korea", &["Korea"]), country("SGP", "Singapore", &[]),
    country("HKG", "Hong Kong", &[]), country("ISR", "Israel", &[]), country("ARE", "United Arab Emirates", &["UAE"]),
    country("ZAF", "South Africa", &[]), country("IND", "India", &[]),
];
