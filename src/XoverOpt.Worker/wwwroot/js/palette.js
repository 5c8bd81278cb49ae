// Colours by M. Okabe and K. Ito, "Color Universal Design" (2008): apart for colour-blind people, too. They are never the only cue:
// each line has a dash pattern and its name at its end as well.
const OKABE_ITO = {
  orange: '#E69F00', sky: '#56B4E9', green: '#009E73', yellow: '#F0E442', blue: '#0072B2', vermillion: '#D55E00', purple: '#CC79A7',
};

export const DASHES = { whole: [], way0: [9, 4], way1: [3, 3], way2: [12, 3, 3, 3], way3: [6, 2, 2, 2, 2, 2], target: [2, 4], limit: [5, 5] };

export const dark = () => matchMedia('(prefers-color-scheme: dark)').matches;

export function colours() {
  const night = dark();
  return {
    ink: night ? '#e7e5df' : '#1b1f23',
    soft: night ? '#a9adb1' : '#565d64',
    rule: night ? '#33383d' : '#dfe1dc',
    paper: night ? '#16191c' : '#fdfdfb',
    target: night ? OKABE_ITO.orange : OKABE_ITO.vermillion,
    band: night ? 'rgba(230,159,0,0.16)' : 'rgba(230,159,0,0.20)',
    fan: night ? 'rgba(86,180,233,0.25)' : 'rgba(0,114,178,0.18)',
    fanLine: night ? OKABE_ITO.sky : OKABE_ITO.blue,
    limit: night ? OKABE_ITO.orange : OKABE_ITO.vermillion,
    ways: night ? [OKABE_ITO.sky, OKABE_ITO.purple, OKABE_ITO.green, OKABE_ITO.yellow] : [OKABE_ITO.blue, OKABE_ITO.purple, OKABE_ITO.green, OKABE_ITO.orange],
  };
}
