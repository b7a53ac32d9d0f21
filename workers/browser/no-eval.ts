/**
 * To be imported first. zod tries out whether it may build functions from text; the page's security
 * policy forbids it, and Firefox writes every try down as an error.
 */
import { config } from "zod";

config({ jitless: true });
