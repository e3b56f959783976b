const words: Readonly<Record<string, string>> = {
  owner: 'owner',
  'co-owner': 'second owner',
  occupant: 'occupant',
  tenant: 'tenant',
  'property-manager': 'property manager',
  buyer: 'buyer',
  seller: 'seller',
  'buyers-agent': 'buyer’s agent',
  'sellers-agent': 'seller’s agent',
  builder: 'builder',
  'closing-office': 'closing office',
  neighbour: 'neighbour',
}

/** The part somebody has around a home, within a sentence. */
export const personRoleWords = (role: string): string => words[role] ?? role.replaceAll('-', ' ')
