// @ts-check
// Classic script for the head of every page: takes the chosen scheme from its cookie before the first paint, since a page
// out of the copy was drawn under an older choice, and white light in the eyes at night is no small thing.
{
  const chosen = /(?:^|; )scheme=(day|night|lamp|auto)(?:;|$)/.exec(document.cookie);
  if (chosen) document.documentElement.dataset.scheme = chosen[1];
}
