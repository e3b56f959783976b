const dayNames: Record<string, string> = {
  mon: 'Monday',
  tue: 'Tuesday',
  wed: 'Wednesday',
  thu: 'Thursday',
  fri: 'Friday',
}
/** A half of a weekday as people say it: `mon-morning` is `Monday morning`. */
export const halfDayWords = (part: string): string => {
  const [day = '', half = ''] = part.split('-')
  return `${dayNames[day]} ${half}`
}
