/** Light or dark as somebody chose for this browser; null follows the device. */
export type Scheme = 'light' | 'dark' | null

/** Read back by `chosenScheme` and by the script. */
export const schemeCookie = 'scheme'
