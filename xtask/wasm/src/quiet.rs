//! Takes what composes panic messages out of a module.
//!
//! On this target a message goes nowhere: the library's hook has nothing to write to, and JavaScript
//! sees the trap alone. The functions that lead up to it become that trap, so that the optimiser
//! drops what only they need: formatting, the messages' arguments, the places in the source.

use walrus::{FunctionKind, Module};

/// Parts of mangled names, which are alike in both of the compiler's schemes: functions that never
/// return and do nothing but tell why.
const NEVER_RETURN: [&[&str]; 12] = [
    &["4core", "9panicking"],
    &["4core6option", "expect_failed"],
    &["4core6option", "unwrap_failed"],
    &["4core6result", "unwrap_failed"],
    &["4core5slice5index", "slice_index_fail"],
    &["4core5slice", "len_mismatch_fail"],
    &["4core3str", "slice_error_fail"],
    &["4core4cell", "panic_already"],
    &["5alloc7raw_vec", "handle_error"],
    &["5alloc7raw_vec", "capacity_overflow"],
    &["5alloc5alloc", "handle_alloc_error"],
    &["rust_panic"],
];

/// Makes each of those functions a bare trap.
pub fn panics(module: &mut Module) {
    for function in module.funcs.iter_mut() {
        let name = function.name.as_deref().unwrap_or_default();
        if !NEVER_RETURN
            .iter()
            .any(|parts| parts.iter().all(|p| name.contains(p)))
        {
            continue;
        }
        if let FunctionKind::Local(local) = &mut function.kind {
            let body = local.builder_mut();
            let mut body = body.func_body();
            body.instrs_mut().clear();
            body.unreachable();
        }
    }
}
