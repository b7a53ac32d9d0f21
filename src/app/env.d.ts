/** Version of this program, from package.json; filled in by the build. */
declare const __APP_VERSION__: string;
/** Where the face detector's files lie, from the page; filled in by the build. */
declare const __FACES_FOLDER__: string;
