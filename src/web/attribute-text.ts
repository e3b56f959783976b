/**
 * What people typed, for an attribute: the printer of pages keeps `&` in attributes, where a browser would read `&lt;`
 * as `<` and send it back changed.
 */
export const attributeText = (typed: string): string => typed.replaceAll('&', '&amp;')
