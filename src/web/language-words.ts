const names = new Intl.DisplayNames(['en'], { type: 'language' })

/** A language by its tag: `fr-CA` is Canadian French; a tag nobody has a name for stays as it is. */
export const languageWords = (tag: string): string => names.of(tag) ?? tag
