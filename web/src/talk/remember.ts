// What a browser remembers of its person: initials, the rod, a visit begun. Where it keeps nothing, they are asked again.

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

export function forget(key: string): void {
  try {
    localStorage.removeItem(`rillwright-${key}`);
  } catch {
    // nothing was kept
  }
}
