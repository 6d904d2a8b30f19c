// What the server writes on top of static/sw.js.
declare const BUILD: string;
declare const SHELL: string[];
