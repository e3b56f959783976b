import type { OpenLink } from './queries.ts'

// Public bodies that list licensed or certified professionals, by country of the home (ISO 3166-1).
const lists: Readonly<Record<string, { readonly words: string; readonly href: string; readonly name: string }>> = {
  US: {
    words: 'The radon office of your state keeps or names a list; the federal agency says where to find it:',
    href: 'https://www.epa.gov/radon',
    name: 'www.epa.gov/radon',
  },
  CA: {
    words: 'Health Canada says how to find a certified professional:',
    href: 'https://www.canada.ca/radon',
    name: 'www.canada.ca/radon',
  },
  GB: {
    words: 'The UK Health Security Agency lists what to look for:',
    href: 'https://www.ukradon.org',
    name: 'www.ukradon.org',
  },
}

/** Where to find somebody licensed or certified, other than the company that writes. */
export const LicensedProfessionals = ({ link }: { link: OpenLink }): JSX.Element => {
  const list = lists[link.country]
  const { name, licenceNumbers } = link.company
  return (
    <section>
      <h2>Where to find a licensed professional</h2>
      <p safe>
        {licenceNumbers.length > 0
          ? `${name} holds licence ${licenceNumbers.join(', ')}.`
          : `Ask ${name} for its licence.`}
      </p>
      {list ? (
        <p>
          <span safe>{list.words}</span>{' '}
          <a href={list.href} rel="noreferrer noopener" safe>
            {list.name}
          </a>
        </p>
      ) : (
        <p>The radiation protection authority of your country or region keeps a list.</p>
      )}
    </section>
  )
}
