// Small things that a browser remembers of its person: initials, the rod. Where it keeps nothing, they are asked again.

export function remembered(key: string): string {
  try {
    return localStorage.getItem(`rillwright-${key}`) ?? "";
  } catch {
    return "";
  }
}

export function remember(key: string, value: string): void {
  try {
    localStorage.setItem(`rillwright-${key}`, value);
  } catch {
    // asked again next time
  }
}
