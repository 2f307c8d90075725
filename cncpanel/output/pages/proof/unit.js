// Lengths as the machine's control shows them: the data are in mm, and so is all that is reckoned.

class Unit {
  constructor(inches) {
    this.size = inches ? 25.4 : 1; // mm
    this.name = inches ? "in" : "mm";
    this.finer = inches ? 1 : 0; // decimals more than mm need; a tenth of an inch a minute, as programs have it
  }

  bare(length, decimals) {
    return (length / this.size).toFixed(decimals + this.finer);
  }

  told(length, decimals) {
    return `${this.bare(length, decimals)} ${this.name}`;
  }
}
