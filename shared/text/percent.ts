/** A share in per cent to a tenth, where a number somebody gave must come back as it was: `12.5 %`. */
export const percentToTenths = (share: number): string => `${Number((share * 100).toFixed(1))} %`;
