//! Where values are worked out: on demand, each once, in any order, circles found.
//!
//! A node is something that can be asked: the value of a `let`, a property of a block or of a leg. Nodes wait for each
//! other on a stack of their own, never on the program's, so that a chain of any length is followed.

use foldhash::HashMap;

use super::{blocks::Blocks, rules};
use crate::{
    language::{Limits, Tok},
    problem::{Problem, Rule},
    schema::{BlockId, Field, KindId},
    source::Span,
    units::{Dimension, Quantity},
};

/// Something that can be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Node {
    /// The value of a `let`.
    Let(BlockId),
    /// A property of a block, or of one of its legs; its number in the kind's table.
    Property(BlockId, Option<u16>, u8),
}

impl Node {
    fn block(self) -> BlockId {
        match self {
            Node::Let(block) | Node::Property(block, ..) => block,
        }
    }
}

/// Why there is no value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Stop {
    /// It is broken, and that has been said.
    Broken,
    /// Another node must be worked out first.
    Wait(Node),
}

/// What has been read of a value.
pub(super) type Read<T> = Result<T, Stop>;

#[derive(Debug, Clone, Copy)]
enum State {
    Open,
    Done(Quantity),
    Broken,
}

/// A leg as it stands in its block: its name and which clause it is.
#[derive(Debug, Clone, Copy)]
pub(super) struct LegEntry<'l> {
    pub name: &'l str,
    pub clause: usize,
}

/// Reads blocks and works out values.
pub(super) struct Desk<'l, 'p> {
    pub blocks: Blocks<'l>,
    pub limits: &'p Limits,
    nodes: HashMap<Node, State>,
    /// What the node being worked out was found to wait for, in the order it asks.
    waits: Vec<Node>,
    legs: HashMap<BlockId, std::rc::Rc<[LegEntry<'l>]>>,
    /// The legs by name; of two with one name the first.
    leg_numbers: HashMap<(BlockId, &'l str), u16>,
    pub problems: &'p mut Vec<Problem>,
    /// Working out a node: findings wait until its own block is read.
    quiet: bool,
    /// How many unknown names have been given a suggestion.
    pub suggested: usize,
    /// Which walls the job has, for places that leave the wall's name out.
    pub walls: Vec<BlockId>,
    /// The block being read.
    pub reading: Option<BlockId>,
    /// The parts that may stand in the clause being read.
    pub fields: &'static [Field],
    /// What may stand in the place of the dimension wanted, while a value of either is read.
    pub also: Option<Dimension>,
    /// The words of the clause being read: room that is used again for the next.
    pub toks: Vec<Tok<'l>>,
}

impl<'l, 'p> Desk<'l, 'p> {
    pub fn new(blocks: Blocks<'l>, limits: &'p Limits, problems: &'p mut Vec<Problem>) -> Desk<'l, 'p> {
        let walls = (0..blocks.own)
            .filter_map(|at| u32::try_from(at).ok().map(BlockId))
            .filter(|id| {
                let entry = blocks.entry(*id);
                matches!(entry.kind, Some(KindId::Wall | KindId::Line)) && !entry.again
            })
            .collect();
        Desk {
            blocks,
            limits,
            nodes: HashMap::default(),
            waits: Vec::new(),
            legs: HashMap::default(),
            leg_numbers: HashMap::default(),
            problems,
            quiet: false,
            suggested: 0,
            walls,
            reading: None,
            fields: &[],
            also: None,
            toks: Vec::new(),
        }
    }

    /// Says what is wrong, and that what was being read is broken.
    pub fn fail<T>(&mut self, problem: Problem) -> Read<T> {
        self.say(problem);
        Err(Stop::Broken)
    }

    /// Reads something without a word said of it, but for circles, which are said once wherever they are met.
    pub fn trial<T>(&mut self, read: impl FnOnce(&mut Self) -> Read<T>) -> (Read<T>, Vec<Problem>) {
        let before = self.problems.len();
        let result = read(self);
        let said = self.problems.split_off(before.min(self.problems.len()));
        let (circles, said) = said.into_iter().partition(|problem| problem.rule == &rules::CIRCLE);
        self.problems.extend::<Vec<Problem>>(circles);
        (result, said)
    }

    /// Whether something of this rule has been said.
    pub fn has_said(&self, rule: &'static Rule) -> bool {
        self.problems.iter().any(|problem| problem.rule == rule)
    }

    /// Says what is wrong or worth knowing.
    pub fn say(&mut self, problem: Problem) {
        if !self.quiet {
            self.problems.push(problem);
        }
    }

    /// The value of a node: worked out now, or what it waits for when another node is being worked out.
    pub fn value(&mut self, node: Node) -> Read<Quantity> {
        match self.nodes.get(&node) {
            Some(State::Done(quantity)) => Ok(*quantity),
            Some(State::Broken) => Err(Stop::Broken),
            Some(State::Open) => self.wait_for(node),
            None if self.quiet => self.wait_for(node),
            None => self.work_out(node),
        }
    }

    fn wait_for<T>(&mut self, node: Node) -> Read<T> {
        self.waits.push(node);
        Err(Stop::Wait(node))
    }

    /// Whether a node is being worked out: nothing is said then, and what it asks for may have to wait.
    pub fn is_quiet(&self) -> bool {
        self.quiet
    }

    fn work_out(&mut self, wanted: Node) -> Read<Quantity> {
        // Each node with what it waits for, the next one last: a node is computed anew only when all of that is there.
        let mut stack: Vec<(Node, Vec<Node>)> = vec![(wanted, Vec::new())];
        self.nodes.insert(wanted, State::Open);
        self.quiet = true;
        while let Some((node, waits)) = stack.last_mut() {
            let node = *node;
            if let Some(other) = waits.last().copied() {
                match self.nodes.get(&other) {
                    Some(State::Done(_) | State::Broken) => {
                        waits.pop();
                    }
                    Some(State::Open) => {
                        let at = stack.iter().rposition(|(held, _)| *held == other).unwrap_or(0);
                        let circle: Vec<Node> = stack.drain(at..).map(|(held, _)| held).collect();
                        self.circle(&circle);
                        for held in circle {
                            self.nodes.insert(held, State::Broken);
                        }
                    }
                    None => {
                        self.nodes.insert(other, State::Open);
                        stack.push((other, Vec::new()));
                    }
                }
                continue;
            }
            self.waits.clear();
            let state = match self.compute(node) {
                Ok(quantity) => State::Done(quantity),
                Err(Stop::Broken) => State::Broken,
                Err(Stop::Wait(other)) => {
                    waits.append(&mut self.waits);
                    waits.reverse();
                    if waits.is_empty() {
                        waits.push(other);
                    }
                    continue;
                }
            };
            self.nodes.insert(node, state);
            stack.pop();
        }
        self.quiet = false;
        match self.nodes.get(&wanted) {
            Some(State::Done(quantity)) => Ok(*quantity),
            _ => Err(Stop::Broken),
        }
    }

    fn compute(&mut self, node: Node) -> Read<Quantity> {
        match node {
            Node::Let(block) => self.let_value(block).map(|said| said.value),
            Node::Property(block, leg, number) => self.property(block, leg, number),
        }
    }

    /// Says a circle once, beginning at the name that is first in alphabetical order: the order of blocks changes nothing.
    fn circle(&mut self, nodes: &[Node]) {
        let place = |node: &Node| {
            let entry = self.blocks.entry(node.block());
            (entry.name.unwrap_or(entry.head), *node)
        };
        let mut places: Vec<(Span, Node)> = nodes.iter().map(place).collect();
        let mut names: Vec<String> = places.iter().map(|(_, node)| self.node_name(*node)).collect();
        let first = (0..places.len()).min_by_key(|at| (&names[*at], places[*at].0)).unwrap_or(0);
        places.rotate_left(first);
        names.rotate_left(first);
        if let Some(first) = names.first().cloned() {
            names.push(first);
        }
        if names.len() > 8 {
            let left_out = names.len() - 7;
            names.splice(4..names.len() - 3, [format!("… {left_out} more …")]);
        }
        let Some((span, _)) = places.first().copied() else { return };
        let headline = if places.len() == 1 {
            "this value is made from itself: {0}"
        } else {
            "these values are made from each other in a circle: {0}"
        };
        let mut problem = Problem::new(&rules::CIRCLE, span, headline).arg(names.join(" → ")).here("this one").help(
            if places.len() == 1 {
                "give it a value that does not ask for itself"
            } else {
                "give one of them a value that does not ask for the others"
            },
        );
        for (other, _) in places.iter().skip(1).take(4) {
            if *other != span {
                problem = problem.label(*other, "and this one");
            }
        }
        self.problems.push(problem);
    }

    fn node_name(&self, node: Node) -> String {
        let name = self.blocks.name(node.block());
        let Node::Property(block, leg, number) = node else { return name.to_owned() };
        let kind = self.blocks.entry(block).kind;
        let word = kind.and_then(|kind| kind.kind().properties.get(number as usize)).map_or("", |asked| asked.word);
        let leg = leg.and_then(|leg| self.legs.get(&block).and_then(|legs| legs.get(leg as usize)));
        match leg {
            Some(leg) => format!("{name}.{}.{word}", leg.name),
            None => format!("{name}.{word}"),
        }
    }

    /// The legs of a wall or line, by what stands in its block.
    pub fn legs(&mut self, block: BlockId) -> std::rc::Rc<[LegEntry<'l>]> {
        if let Some(legs) = self.legs.get(&block) {
            return legs.clone();
        }
        let entry = self.blocks.entry(block);
        let (tree, clauses) = self.blocks.clauses(&entry);
        let source = self.blocks.sources.get(tree.source);
        let mut words: Vec<Tok<'l>> = Vec::new();
        let mut legs = Vec::new();
        for (at, clause) in clauses.iter().enumerate() {
            tree.words(source, &clause.tokens, &mut words);
            if let [first, name, ..] = words[..]
                && first.text == "leg"
            {
                let number = u16::try_from(legs.len()).unwrap_or(u16::MAX);
                self.leg_numbers.entry((block, name.text)).or_insert(number);
                legs.push(LegEntry { name: name.text, clause: at });
            }
        }
        let legs: std::rc::Rc<[LegEntry<'l>]> = legs.into();
        self.legs.insert(block, legs.clone());
        legs
    }

    /// The leg of this name.
    pub fn leg_number(&mut self, block: BlockId, name: &'l str) -> Option<u16> {
        self.legs(block);
        self.leg_numbers.get(&(block, name)).copied()
    }
}
