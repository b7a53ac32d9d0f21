/** Version of the program as written into results; a test holds it equal to package.json's. */
export const programVersion = "0.1.0";
