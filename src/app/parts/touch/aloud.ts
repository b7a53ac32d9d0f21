/**
 * Speech with voices that are on the device, so that nothing is sent anywhere; off by default. A
 * device without such a voice stays silent, and `canSpeak` says so beforehand.
 */
export const localVoice = (language: string): SpeechSynthesisVoice | null => {
  const voices = globalThis.speechSynthesis?.getVoices?.() ?? [];
  const short = language.slice(0, 2).toLowerCase();
  return (
    voices.find((voice) => voice.localService && voice.lang.toLowerCase().startsWith(short)) ?? null
  );
};

export const canSpeak = (language: string): boolean => localVoice(language) !== null;

/** Says a sentence in place of whatever is being said; true where a voice was there. */
export function sayAloud(text: string, language: string): boolean {
  const voice = localVoice(language);
  if (!voice) {
    return false;
  }
  const { speechSynthesis } = globalThis;
  speechSynthesis.cancel();
  const words = new SpeechSynthesisUtterance(text);
  words.voice = voice;
  words.lang = voice.lang;
  words.rate = 0.95;
  speechSynthesis.speak(words);
  return true;
}

export const hush = (): void => globalThis.speechSynthesis?.cancel?.();
