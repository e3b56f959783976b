declare module 'zipcodes' {
  type Place = { zip: string; latitude: number; longitude: number; city: string; state: string; country: string }
  const zipcodes: {
    lookup(zip: string): Place | undefined
    lookupByName(city: string, state: string): Place[]
    states: { normalize(state: string): string | undefined }
  }
  export default zipcodes
}
