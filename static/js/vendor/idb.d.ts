// For the type check only: the types are those of the package that idb.js was taken from.
export * from 'idb';
