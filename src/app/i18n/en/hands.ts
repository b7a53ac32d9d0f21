/** One person with gloves; building; the words that can be tapped. */
export const handsTexts = {
  "hands.title": "Gloves, ears, eyes",
  "hands.off": "off",
  "hands.on": "on",
  "hands.gloves": "Glove mode",
  "hands.glovesHint": "Larger controls, farther apart.",
  "hands.aloud": "Read aloud",
  "hands.aloudHint": "Verdict and moves, with a voice that is on this device. Nothing is sent.",
  "hands.noVoice": "This device has no voice of its own for this language: it stays silent.",
  "hands.tones": "Tones",
  "hands.tonesHint":
    "Two rising tones: boards found in the photo. One low tone: none. Phones that can, vibrate, too.",
  "building.open": "How to build it",
  "building.openPdf": "These pages as PDF",
  "share.file": "Share",
  "glossary.title": "Glossary",
  "glossary.whatIs": "What is: {term}?",
  "glossary.close": "Close",
  "glossary.intro": "Words on the screens, each in two sentences. Underlined words can be tapped.",
} as const;
