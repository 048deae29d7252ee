//! Takes parts out of a module that pages load later, or never.
//!
//! A part is what only its entries lead to. In the module each entry becomes a call through a place
//! of the function table that is empty until the part is there; the part has no memory, table or
//! imports of its own: it takes the module's exports, and writes its entries into the table when it
//! is instantiated. No code knows of it but the loader in pkg-template/lib/module.js.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result, bail};
use walrus::ir::{Visitor, dfs_in_order};
use walrus::{
    ConstExpr, ElementItems, ElementKind, ExportItem, FunctionBuilder, FunctionId, FunctionKind,
    GlobalId, GlobalKind, ImportKind, ImportedFunction, LocalFunction, MemoryId, Module,
    ModuleConfig, TableId, ir::Value,
};

/// What a page can do without at first.
pub struct Part {
    /// Of its file, `underfoot_NAME.wasm`.
    pub name: &'static str,
    /// Where it is entered.
    pub entries: &'static [Entry],
}

/// A function at which a part begins.
pub enum Entry {
    /// An export of the module.
    Export(&'static str),
    /// The function whose mangled name holds all of these; it must never be inlined.
    Function(&'static [&'static str]),
}

/// The name under which a part takes the module's exports.
const HOST: &str = "m";

/// What functions lead to, by index; both parses of the module count alike.
type Indices = BTreeSet<usize>;

/// Splits a module with names into itself without the parts, and the parts; names are gone.
///
/// # Errors
/// An entry that the module does not have.
pub fn split(bytes: &[u8], parts: &[Part]) -> Result<(Vec<u8>, Vec<Vec<u8>>)> {
    let mut module = parse(bytes)?;
    let graph = Graph::of(&module);
    let mut entries = Vec::new();
    for part in parts {
        let found: Result<Vec<_>> = part.entries.iter().map(|e| e.find(&module)).collect();
        entries.push(found.with_context(|| format!("the part `{}`", part.name))?);
    }
    let doors: Indices = entries.iter().flatten().copied().collect();
    let home = graph.reach(graph.roots.difference(&doors).copied(), &doors);
    let beyond: Vec<Indices> = entries
        .iter()
        .map(|own| {
            let others = doors.iter().filter(|d| !own.contains(d)).copied().collect();
            graph.reach(own.iter().copied(), &others)
        })
        .collect();
    let mut times = BTreeMap::new();
    for index in beyond.iter().flatten() {
        *times.entry(*index).or_insert(0) += 1;
    }
    // What the host gives stays with the module, which hands it on.
    let local = |index: &usize| graph.to.contains_key(index);
    let alone = |index: &usize| times[index] == 1 && !home.contains(index) && local(index);
    let moved: Vec<Indices> = beyond
        .iter()
        .map(|all| all.iter().copied().filter(alone).collect())
        .collect();

    let table = module.tables.main_function_table()?;
    let table = table.context("the module has no function table")?;
    let first = module.tables.get(table).initial;
    let all: Vec<usize> = entries.iter().flatten().copied().collect();
    let mut made = Vec::new();
    let mut needs = Needs::default();
    let mut place = first;
    for (own, moved) in entries.iter().zip(&moved) {
        let (part, taken) = cut(bytes, own, moved, place)?;
        made.push(part);
        needs.join(taken);
        place += own.len() as u64;
    }
    for (i, &index) in all.iter().enumerate() {
        let id = function(&module, index);
        make_door(&mut module, id, table, first + i as u64)?;
    }
    let own = module.tables.get_mut(table);
    own.initial = place;
    own.maximum = own.maximum.map(|m| m.max(place));
    needs.export(&mut module, table)?;
    walrus::passes::gc::run(&mut module);
    Ok((module.emit_wasm(), made))
}

fn parse(bytes: &[u8]) -> Result<Module> {
    let mut config = ModuleConfig::new();
    config.generate_name_section(false);
    config.generate_producers_section(false);
    config.parse(bytes)
}

impl Entry {
    fn find(&self, module: &Module) -> Result<usize> {
        match self {
            Self::Export(name) => Ok(module.exports.get_func(name)?.index()),
            Self::Function(parts) => {
                let named = |name: &str| parts.iter().all(|p| name.contains(p));
                let mut found = module
                    .funcs
                    .iter()
                    .filter(|f| f.name.as_deref().is_some_and(named));
                match (found.next(), found.next()) {
                    (Some(one), None) => Ok(one.id().index()),
                    (None, _) => bail!("no function is named {parts:?}: was it inlined?"),
                    _ => bail!("several functions are named {parts:?}"),
                }
            }
        }
    }
}

/// Which function leads to which.
struct Graph {
    to: BTreeMap<usize, Indices>,
    /// What the host or a pointer can call.
    roots: Indices,
}

impl Graph {
    fn of(module: &Module) -> Self {
        let to = module
            .funcs
            .iter_local()
            .map(|(id, f)| {
                (
                    id.index(),
                    Uses::of(f).functions.iter().map(|f| f.index()).collect(),
                )
            })
            .collect();
        let mut roots: Indices = module.start.iter().map(|f| f.index()).collect();
        for export in module.exports.iter() {
            if let ExportItem::Function(f) = export.item {
                roots.insert(f.index());
            }
        }
        for element in module.elements.iter() {
            match &element.items {
                ElementItems::Functions(list) => roots.extend(list.iter().map(|f| f.index())),
                ElementItems::Expressions(_, list) => {
                    roots.extend(list.iter().filter_map(|e| match e {
                        ConstExpr::RefFunc(f) => Some(f.index()),
                        _ => None,
                    }))
                }
            }
        }
        Self { to, roots }
    }

    /// Everything that `from` lead to, themselves included, without what lies behind `doors`.
    fn reach(&self, from: impl Iterator<Item = usize>, doors: &Indices) -> Indices {
        let mut seen: Indices = from.collect();
        let mut open: Vec<usize> = seen.iter().copied().collect();
        while let Some(next) = open.pop() {
            for &to in self.to.get(&next).into_iter().flatten() {
                if !doors.contains(&to) && seen.insert(to) {
                    open.push(to);
                }
            }
        }
        seen
    }
}

/// What a function's body names.
#[derive(Default)]
struct Uses {
    functions: BTreeSet<FunctionId>,
    globals: BTreeSet<GlobalId>,
    tables: BTreeSet<TableId>,
    memories: BTreeSet<MemoryId>,
}

impl Uses {
    fn of(function: &LocalFunction) -> Self {
        let mut uses = Self::default();
        dfs_in_order(&mut uses, function, function.entry_block());
        uses
    }
}

impl<'i> Visitor<'i> for Uses {
    fn visit_function_id(&mut self, id: &FunctionId) {
        self.functions.insert(*id);
    }
    fn visit_global_id(&mut self, id: &GlobalId) {
        self.globals.insert(*id);
    }
    fn visit_table_id(&mut self, id: &TableId) {
        self.tables.insert(*id);
    }
    fn visit_memory_id(&mut self, id: &MemoryId) {
        self.memories.insert(*id);
    }
}

/// What parts take from the module, by index.
#[derive(Default)]
struct Needs {
    functions: Indices,
    globals: Indices,
    tables: Indices,
}

/// Names of the module's exports for parts.
fn function_name(index: usize) -> String {
    format!("f{index:x}")
}
fn global_name(index: usize) -> String {
    format!("g{index:x}")
}
fn table_name(index: usize) -> String {
    format!("t{index:x}")
}

impl Needs {
    fn join(&mut self, other: Self) {
        self.functions.extend(other.functions);
        self.globals.extend(other.globals);
        self.tables.extend(other.tables);
    }

    fn export(&self, module: &mut Module, own: TableId) -> Result<()> {
        for &index in &self.functions {
            let id = function(module, index);
            module.exports.add(&function_name(index), id);
        }
        for global in module.globals.iter().map(|g| g.id()).collect::<Vec<_>>() {
            if self.globals.contains(&global.index()) {
                module.exports.add(&global_name(global.index()), global);
            }
        }
        for table in module.tables.iter().map(|t| t.id()).collect::<Vec<_>>() {
            if table == own || self.tables.contains(&table.index()) {
                module.exports.add(&table_name(table.index()), table);
            }
        }
        let memory = module.get_memory_id()?;
        if module.exports.get_exported_memory(memory).is_none() {
            module.exports.add("memory", memory);
        }
        Ok(())
    }
}

fn function(module: &Module, index: usize) -> FunctionId {
    let found = module.funcs.iter().find(|f| f.id().index() == index);
    found.map(|f| f.id()).expect("an index of this module")
}

/// Makes a function call what lies at a place of the table.
fn make_door(module: &mut Module, id: FunctionId, table: TableId, place: u64) -> Result<()> {
    let ty = module.funcs.get(id).ty();
    let (params, results) = module.types.params_results(ty);
    let (params, results) = (params.to_vec(), results.to_vec());
    let mut builder = FunctionBuilder::new(&mut module.types, &params, &results);
    let args: Vec<_> = params.iter().map(|&p| module.locals.add(p)).collect();
    let mut body = builder.func_body();
    for &arg in &args {
        body.local_get(arg);
    }
    body.i32_const(i32::try_from(place)?)
        .call_indirect(ty, table);
    module.funcs.get_mut(id).kind = FunctionKind::Local(builder.local_func(args));
    Ok(())
}

/// The part that holds the moved functions, its entries at `place` of the table and on; and what it
/// takes from the module.
fn cut(bytes: &[u8], entries: &[usize], moved: &Indices, place: u64) -> Result<(Vec<u8>, Needs)> {
    let mut part = parse(bytes)?;
    part.start = None;
    for id in part.imports.iter().map(|i| i.id()).collect::<Vec<_>>() {
        part.imports.delete(id);
    }
    for id in part.exports.iter().map(|e| e.id()).collect::<Vec<_>>() {
        part.exports.delete(id);
    }
    for id in part.elements.iter().map(|e| e.id()).collect::<Vec<_>>() {
        part.elements.delete(id);
    }
    for id in part.data.iter().map(|d| d.id()).collect::<Vec<_>>() {
        part.data.delete(id);
    }
    let table = part.tables.main_function_table()?;
    let table = table.context("the module has no function table")?;
    for table in part.tables.iter_mut() {
        table.elem_segments.clear();
    }
    for memory in part.memories.iter_mut() {
        memory.data_segments.clear();
    }

    let mut uses = Uses::default();
    for (id, local) in part.funcs.iter_local() {
        if moved.contains(&id.index()) {
            dfs_in_order(&mut uses, local, local.entry_block());
        }
    }
    let mut needs = Needs::default();
    for id in uses.functions {
        if moved.contains(&id.index()) {
            continue;
        }
        needs.functions.insert(id.index());
        let name = function_name(id.index());
        let ty = part.funcs.get(id).ty();
        let import = part.imports.add(HOST, &name, ImportKind::Function(id));
        part.funcs.get_mut(id).kind = FunctionKind::Import(ImportedFunction { import, ty });
    }
    for id in uses.globals {
        needs.globals.insert(id.index());
        let import = part
            .imports
            .add(HOST, &global_name(id.index()), ImportKind::Global(id));
        part.globals.get_mut(id).kind = GlobalKind::Import(import);
    }
    for id in uses
        .tables
        .into_iter()
        .chain([table])
        .collect::<BTreeSet<_>>()
    {
        needs.tables.insert(id.index());
        let import = part
            .imports
            .add(HOST, &table_name(id.index()), ImportKind::Table(id));
        part.tables.get_mut(id).import = Some(import);
    }
    for id in uses.memories {
        let import = part.imports.add(HOST, "memory", ImportKind::Memory(id));
        part.memories.get_mut(id).import = Some(import);
    }
    let own = part.tables.get_mut(table);
    own.initial = place + entries.len() as u64;
    own.maximum = None;
    let list = entries
        .iter()
        .map(|&index| function(&part, index))
        .collect();
    let offset = ConstExpr::Value(Value::I32(i32::try_from(place)?));
    let kind = ElementKind::Active { table, offset };
    let element = part.elements.add(kind, ElementItems::Functions(list));
    part.tables.get_mut(table).elem_segments.insert(element);
    walrus::passes::gc::run(&mut part);
    Ok((part.emit_wasm(), needs))
}
