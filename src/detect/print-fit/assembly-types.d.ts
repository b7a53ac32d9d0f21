/** AssemblyScript's size of a place in memory, so that assembly/layout.ts is read by both compilers. */
declare type usize = number;
