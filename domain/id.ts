/**
 * The id of one kind of thing: text from a form or the file may be given for it, the id of another kind may not. A pump's id
 * where a plot's is asked does not compile.
 */
export type Id<Thing extends string> = string & { readonly kind?: Thing }
