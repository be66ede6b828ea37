// The least of what was put in comes out first.

export class Heap<Item> {
  private readonly items: Item[] = [];
  private readonly compare: (a: Item, b: Item) => number;

  constructor(compare: (a: Item, b: Item) => number) {
    this.compare = compare;
  }

  get size(): number {
    return this.items.length;
  }

  push(item: Item): void {
    this.items.push(item);
    let place = this.items.length - 1;
    while (place > 0) {
      const above = (place - 1) >> 1;
      if (!this.swapped(above, place)) return;
      place = above;
    }
  }

  pop(): Item | undefined {
    const [least] = this.items;
    const last = this.items.pop();
    if (last === undefined || this.items.length === 0) return least;
    this.items[0] = last;
    let place = 0;
    for (;;) {
      const [left, right] = [2 * place + 1, 2 * place + 2];
      const lesser = right < this.items.length && this.before(right, left) ? right : left;
      if (lesser >= this.items.length || !this.swapped(place, lesser)) return least;
      place = lesser;
    }
  }

  private before(one: number, other: number): boolean {
    return this.compare(this.items[one] as Item, this.items[other] as Item) < 0;
  }

  /** Puts the two in order; says whether they were not. */
  private swapped(above: number, below: number): boolean {
    if (!this.before(below, above)) return false;
    const [one, other] = [this.items[above] as Item, this.items[below] as Item];
    this.items[above] = other;
    this.items[below] = one;
    return true;
  }
}
