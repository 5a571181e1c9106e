/** Soil texture by feel. Written by tools/page_tables.py from baulk.ground.feel; change that, not this. */

/** A question with what each answer leads to: another question, or a class. */
export interface Feel {
  readonly name: string;
  readonly asks: string;
  readonly answers: Readonly<Record<string, Feel | string>>;
}

export const FEEL_SOURCE = 'field flow chart of soil surveys, from memory';

export const FEEL: Feel = {
  "name": "ball",
  "asks": "Wet a walnut of soil until it works like putty. Squeezed in the fist, does it stay in one lump?",
  "answers": {
    "yes": {
      "name": "ribbon",
      "asks": "Push it out between thumb and finger. Does a ribbon form before it breaks?",
      "answers": {
        "yes": {
          "name": "ribbon_length",
          "asks": "How long does the ribbon grow before it breaks of its own weight?",
          "answers": {
            "under 25 mm": {
              "name": "rub",
              "asks": "Rub a very wet pinch in the palm. What is felt most?",
              "answers": {
                "grit": "sandy loam",
                "silk": "silt loam",
                "neither": "loam"
              }
            },
            "25 to 50 mm": {
              "name": "rub",
              "asks": "Rub a very wet pinch in the palm. What is felt most?",
              "answers": {
                "grit": "sandy clay loam",
                "silk": "silty clay loam",
                "neither": "clay loam"
              }
            },
            "over 50 mm": {
              "name": "rub",
              "asks": "Rub a very wet pinch in the palm. What is felt most?",
              "answers": {
                "grit": "sandy clay",
                "silk": "silty clay",
                "neither": "clay"
              }
            }
          }
        },
        "no": "loamy sand"
      }
    },
    "no": "sand"
  }
};
