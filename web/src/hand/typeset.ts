// Lengths inside a sentence as the drawings have them: true fractions, primes for feet and inches.

const SINGLE: Record<string, string> = { "1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞" };

export function typeset(sentence: string): string {
  return sentence
    .replace(/( ?)(?<![\d/.])([1357]\/[248])(?![\d/.])/g, (all: string, space: string, part: string, at: number) => {
      const sign = SINGLE[part];
      return sign ? (/\d/.test(sentence[at - 1] ?? "") ? sign : space + sign) : all;
    })
    .replace(/(?<=\d)'/g, "\u2032")
    .replace(/(?<=[\d½¼¾⅛⅜⅝⅞])"/g, "\u2033");
}
