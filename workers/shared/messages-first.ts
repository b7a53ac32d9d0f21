/** Lets what is asked meanwhile come first. */
export const messagesFirst = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0));
