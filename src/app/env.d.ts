/** Version of this program, from package.json; filled in by the build. */
declare const __APP_VERSION__: string;
