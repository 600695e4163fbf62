//! Invented names, and words to choose from.

const STARTS: [&str; 32] = [
    "Abber", "Bel", "Caw", "Dor", "Elm", "Fen", "Gars", "Hol", "Ings", "Jarr", "Kell", "Lim", "Mor", "Nab", "Orr",
    "Pend", "Quar", "Rath", "Sker", "Tarn", "Ulv", "Vann", "Wyr", "Yar", "Zell", "Braith", "Crof", "Drum", "Frith",
    "Glim", "Hest", "Thrus",
];
const MIDDLES: [&str; 32] = [
    "a", "ar", "back", "bel", "cas", "den", "dle", "e", "en", "er", "field", "gan", "ham", "i", "in", "kel", "low",
    "mar", "mer", "na", "o", "ol", "pen", "ra", "rin", "san", "ster", "ta", "ter", "ul", "wen", "win",
];
const ENDS: [&str; 32] = [
    "beck", "bridge", "burn", "by", "combe", "cote", "dale", "den", "fell", "ford", "garth", "gill", "holme", "hurst",
    "keld", "ley", "mere", "mouth", "ness", "over", "pool", "rigg", "scar", "shaw", "stead", "stow", "thorpe",
    "thwaite", "ton", "wath", "wick", "worth",
];

/// How many names there are.
pub const NAMES: usize = 32_768;

/// An invented name; the same one again after all of them.
pub fn name(number: usize) -> String {
    let mixed = number.wrapping_mul(12_347) % NAMES;
    format!("{}{}{}", STARTS[mixed % 32], MIDDLES[mixed / 32 % 32], ENDS[mixed / 1024])
}

/// A number that looks like any other, the same for the same two.
pub fn draw(seed: usize, salt: usize) -> usize {
    let mut z = (seed as u64)
        .wrapping_add((salt as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15))
        .wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 8) as usize
}

/// One of some words.
pub fn one_of<'w>(words: &[&'w str], seed: usize, salt: usize) -> &'w str {
    words[draw(seed, salt) % words.len()]
}

pub const ROCKS: [&str; 10] =
    ["limestone", "sandstone", "granite", "chalk", "slate", "mudstone", "basalt", "shale", "gritstone", "gneiss"];
pub const CROPS: [&str; 10] =
    ["wheat", "barley", "oats", "potatoes", "sugar beet", "rape", "maize", "beans", "carrots", "grass for hay"];
pub const TRADES: [&str; 10] = [
    "fishing",
    "boat building",
    "salt making",
    "quarrying",
    "weaving",
    "rope making",
    "smoking fish",
    "brick making",
    "paper making",
    "growing oysters",
];
pub const WINDS: [&str; 8] = ["north", "south", "east", "west", "north-east", "south-east", "north-west", "south-west"];
pub const CAUSES: [&str; 8] = [
    "the sea wore its cliff away",
    "its harbour filled with mud",
    "its wells ran dry",
    "a flood took half of its houses",
    "the railway was built on the other side",
    "sand blew over its fields",
    "its mine was worked out",
    "a landslide blocked its only road",
];
pub const ADJECTIVES: [&str; 16] = [
    "slow",
    "steep",
    "broad",
    "narrow",
    "shallow",
    "deep",
    "gentle",
    "stony",
    "muddy",
    "sandy",
    "wooded",
    "bare",
    "wet",
    "dry",
    "cold",
    "sheltered",
];
pub const FEATURES: [&str; 16] = [
    "valley", "slope", "stream", "marsh", "moor", "beach", "field", "wood", "gorge", "plain", "ridge", "spit", "bank",
    "pool", "channel", "terrace",
];
