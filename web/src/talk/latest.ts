// One question at a time: what is asked while another is being answered waits, and only the newest of those is asked.

export function newestOnly(): (work: () => Promise<void>) => Promise<void> {
  let busy = false;
  let waits: (() => Promise<void>) | null = null;
  return async (work) => {
    if (busy) {
      waits = work;
      return;
    }
    busy = true;
    try {
      for (let next: (() => Promise<void>) | null = work; next; ) {
        waits = null;
        await next();
        next = waits;
      }
    } finally {
      busy = false;
    }
  };
}
