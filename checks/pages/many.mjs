// A garden of many beds from a small one: its beds again and again, each with a name of its own, and cloth for all of them.

/** The garden file with so many beds. */
export function many(text, beds) {
  const blocks = text.split(/^(?=\[\[bed\]\])/m);
  const head = blocks.shift();
  // What stands after the last bed is no bed.
  const [last, ...rest] = blocks.pop().split(/^(?=\[stock\])/m);
  blocks.push(last);
  const named = (n) => {
    const block = blocks[n % blocks.length];
    const again = Math.floor(n / blocks.length);
    return again === 0 ? block : block.replace(/^name = "(.*)"/m, (_, name) => `name = "${name} ${again + 1}"`);
  };
  const times = Math.ceil(beds / blocks.length);
  const stock = rest.join('').replace(/^(count|pins|clips) = (\d+)/gm, (_, key, n) => `${key} = ${n * times}`);
  const enough = head.replace(/^minutes_each = .*$/m, 'minutes_each = 300');
  return enough + Array.from({ length: beds }, (_, n) => named(n)).join('') + stock;
}
