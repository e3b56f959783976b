export const contractText = async () => ''
