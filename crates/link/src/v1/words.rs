//! Short texts: each byte bit by bit, guessed from the two bytes before it.
//!
//! Three tables of chances (nothing before, one byte before, two bytes before) each give a guess;
//! guesses that rest on longer memory and more bits weigh more. The tables first read a frozen primer, so
//! that a cue of a dozen words costs about half its bytes. Any UTF-8 text can be carried; text
//! unlike the primer is merely longer.

use super::Damaged;
use super::coder::{Chance, Coder, Writer};

/// Frozen with version 1: changing one letter makes every old link unreadable.
const PRIMER: &str = "before\nafter\nbaseline\nwith the cue\nwithout\ntoday\nlast month\n7-iron\n\
driver\nwedge\nPlayer, 7-iron\nSet A\nSet B\nStep into the lead foot before the club gets to the top.\n\
Let the lead heel take the ground, then turn.\nKeep the pressure in the trail heel a little longer.\n\
Feel the trail foot push back and the lead foot push forward as the arms start down.\n\
Shift toward the target while the arms are still going up.\nStay on the inside of the trail foot.\n\
Start the turn from the ground: lead heel down, then the hips.\nSlow back, quick down.\n\
Two step-in swings, then one at full speed.\n";

/// Places in the table of two bytes before.
const PAIRS: usize = 1 << 16;

/// The tables, having read the primer.
pub struct Words {
    alone: Vec<Chance>,
    after_one: Vec<Chance>,
    after_two: Vec<Chance>,
    before: [u8; 2],
}

impl Words {
    /// Reads the primer.
    pub fn new() -> Self {
        let mut words = Self {
            alone: vec![Chance::NEW; 256],
            after_one: vec![Chance::NEW; 256 * 256],
            after_two: vec![Chance::NEW; PAIRS],
            before: *b"\n\n",
        };
        // The primer is learnt by writing it and throwing the writing away.
        let mut nowhere = Writer::new();
        for byte in PRIMER.bytes() {
            // A writer never refuses.
            let _ = words.byte(&mut nowhere, byte);
        }
        words
    }

    /// A text without line ends, of at most `limit` bytes.
    pub fn text(
        &mut self,
        io: &mut impl Coder,
        text: &str,
        limit: usize,
    ) -> Result<String, Damaged> {
        let mut given = text.bytes();
        let mut found = Vec::new();
        loop {
            match self.byte(io, given.next().unwrap_or(b'\n'))? {
                b'\n' => break,
                _ if found.len() == limit => return Err(Damaged),
                byte => found.push(byte),
            }
        }
        String::from_utf8(found).map_err(|_| Damaged)
    }

    fn byte(&mut self, io: &mut impl Coder, byte: u8) -> Result<u8, Damaged> {
        let [two, one] = self.before.map(usize::from);
        let pair = (two << 8 | one).wrapping_mul(40_503) & 0xffff;
        // The bits read so far with a 1 in front: 1 … 255.
        let mut node = 1;
        for place in (0..8).rev() {
            let places = [node, one << 8 | node, (pair ^ (node * 257)) % PAIRS];
            let chances = [
                self.alone[places[0]],
                self.after_one[places[1]],
                self.after_two[places[2]],
            ];
            let bit = io.code(blend(chances), byte >> place & 1 == 1)?;
            self.alone[places[0]].learn(bit);
            self.after_one[places[1]].learn(bit);
            self.after_two[places[2]].learn(bit);
            node = node << 1 | usize::from(bit);
        }
        let found = (node & 0xff) as u8;
        self.before = [self.before[1], found];
        Ok(found)
    }
}

/// Average of the guesses; weights grow with the memory and with the bits seen.
fn blend(chances: [Chance; 3]) -> u32 {
    let (mut sum, mut weights) = (0, 0);
    for (chance, memory) in chances.into_iter().zip([1, 6, 24]) {
        let weight = memory * chance.seen().min(8) + u32::from(memory == 1);
        sum += weight * chance.one();
        weights += weight;
    }
    (sum / weights).clamp(64, 65_536 - 64)
}

#[cfg(test)]
mod tests {
    use super::super::coder::Reader;
    use super::*;

    fn packed(text: &str) -> usize {
        let mut writer = Writer::new();
        Words::new().text(&mut writer, text, 400).unwrap();
        let bytes = writer.finish();
        let found = Words::new().text(&mut Reader::new(&bytes), "", 400);
        assert_eq!(found.unwrap(), text);
        bytes.len()
    }

    #[test]
    fn ordinary_cues_shrink_and_any_text_comes_back() {
        let cue = "Step in early and let the lead heel press before the arms come down";
        assert!(packed(cue) * 2 < cue.len() + 8, "{} bytes", packed(cue));
        assert_eq!(packed(""), packed(""));
        packed("Druck früher auf den linken Fuß – dann drehen ⛳");
        packed("地面を先に踏む");
    }
}
