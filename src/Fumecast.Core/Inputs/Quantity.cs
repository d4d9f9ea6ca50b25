// SPDX-License-Identifier: MIT
namespace Fumecast.Inputs;

/// <summary>A kind of quantity: the unit its values are held in, and every unit it may be written in.</summary>
/// <remarks>
/// A unit is a whole multiple or a whole part of the held one, so one rounding at most lies between the text and the value:
/// "10 min" is exactly 600 s. A unit may belong to several quantities ("m" is a minute or a metre); the reader always knows which it wants.
/// </remarks>
public sealed class Quantity
{
    private readonly Unit[] _units;

    private Quantity(string name, string example, params Unit[] units)
    {
        Name = name;
        Example = example;
        _units = units;
    }

    /// <summary>Time [s].</summary>
    public static Quantity Time { get; } = new("a time", "10 s", new("s"), new("ms", 1, 1000), new("min", 60), new("m", 60), new("h", 3600), new("d", 86400));

    /// <summary>Length [mm].</summary>
    public static Quantity Length { get; } = new("a length", "1.75 mm", new("mm"), new("cm", 10), new("m", 1000), new("um", 1, 1000), new("nm", 1, 1e6), new("in", 254, 10));

    /// <summary>Diameter of a particle [nm].</summary>
    public static Quantity ParticleDiameter { get; } = new("a particle diameter", "35 nm", new("nm"), new("um", 1000));

    /// <summary>Area [m2].</summary>
    public static Quantity Area { get; } = new("an area", "12 m2", new("m2"), new("cm2", 1, 10_000));

    /// <summary>Volume of filament [mm3].</summary>
    public static Quantity Volume { get; } = new("a volume", "20 mm3", new("mm3"), new("cm3", 1000), new("ml", 1000));

    /// <summary>Volume of air [m3].</summary>
    public static Quantity AirVolume { get; } = new("a volume of air", "30 m3", new("m3"), new("l", 1, 1000), new("L", 1, 1000));

    /// <summary>Speed [mm/s].</summary>
    public static Quantity Speed { get; } = new("a speed", "60 mm/s", new("mm/s"), new("mm/min", 1, 60), new("cm/s", 10), new("m/s", 1000));

    /// <summary>Acceleration [mm/s2].</summary>
    public static Quantity Acceleration { get; } = new("an acceleration", "1000 mm/s2", new("mm/s2"), new("m/s2", 1000));

    /// <summary>Flow of molten filament [mm3/s].</summary>
    public static Quantity Flow { get; } = new("a filament flow", "4 mm3/s", new("mm3/s"), new("mm3/min", 1, 60), new("cm3/h", 1000, 3600), new("ul/s"));

    /// <summary>Flow of air [m3/h].</summary>
    public static Quantity AirFlow { get; } = new("an air flow", "20 m3/h", new("m3/h"), new("m3/min", 60), new("m3/s", 3600), new("l/min", 60, 1000), new("l/s", 3600, 1000));

    /// <summary>Density [g/cm3].</summary>
    public static Quantity Density { get; } = new("a density", "1.24 g/cm3", new("g/cm3"), new("g/ml"), new("kg/m3", 1, 1000));

    /// <summary>A temperature reading [degC].</summary>
    public static Quantity Temperature { get; } = new("a temperature", "210 degC", new("degC"), new("C"));

    /// <summary>A difference of temperatures [K].</summary>
    public static Quantity TemperatureStep { get; } = new("a temperature difference", "5 K", new Unit("K"));

    /// <summary>Rate of change of a temperature [K/s].</summary>
    public static Quantity TemperatureRate { get; } = new("a heating rate", "2 K/s", new("K/s"), new("K/min", 1, 60));

    /// <summary>Relative change for each kelvin [1/K].</summary>
    public static Quantity PerKelvin { get; } = new("a sensitivity to temperature", "0.066 1/K", new("1/K"), new("/K"), new("%/K", 1, 100));

    /// <summary>A slow rate, such as air change or deposition [1/h].</summary>
    public static Quantity RatePerH { get; } = new("a rate per hour", "0.5 1/h", new("1/h"), new("/h"), new("1/min", 60), new("1/s", 3600), new("1/d", 1, 24));

    /// <summary>A fast rate, such as that of a sensor [1/s].</summary>
    public static Quantity RatePerS { get; } = new("a rate per second", "0.2 1/s", new("1/s"), new("/s"), new("1/min", 1, 60), new("1/h", 1, 3600));

    /// <summary>Mass [g].</summary>
    public static Quantity Mass { get; } = new("a mass", "12 g", new("g"), new("kg", 1000), new("mg", 1, 1000), new("ug", 1, 1e6), new("ng", 1, 1e9));

    /// <summary>Rate of deposited mass [g/h].</summary>
    public static Quantity MassRate { get; } = new("a mass rate", "6.3 g/h", new("g/h"), new("g/min", 60), new("kg/h", 1000), new("mg/s", 3600, 1000));

    /// <summary>Emission rate of a mass [ug/min].</summary>
    public static Quantity EmittedMassRate { get; } = new("an emission rate", "40 ug/min", new("ug/min"), new("ug/h", 1, 60), new("ug/s", 60), new("mg/min", 1000), new("mg/h", 1000, 60));

    /// <summary>Emission rate of particles [1/min].</summary>
    public static Quantity NumberRate { get; } = new("a particle rate", "1e10 1/min", new("1/min"), new("/min"), new("1/s", 60), new("1/h", 1, 60));

    /// <summary>Particles for each gram of filament [1/g].</summary>
    public static Quantity NumberYield { get; } = new("a particle yield", "3e9 1/g", new("1/g"), new("/g"), new("1/mg", 1000), new("1/kg", 1, 1000));

    /// <summary>Emitted mass for each gram of filament [ug/g].</summary>
    public static Quantity MassYield { get; } = new("a mass yield", "50 ug/g", new("ug/g"), new("mg/g", 1000), new("mg/kg"), new("ng/g", 1, 1000));

    /// <summary>Particles in a volume of air [1/cm3].</summary>
    public static Quantity NumberConcentration { get; } = new("a number concentration", "5000 1/cm3", new("1/cm3"), new("/cm3"), new("1/l", 1, 1000), new("1/m3", 1, 1e6));

    /// <summary>Mass in a volume of air [ug/m3].</summary>
    public static Quantity MassConcentration { get; } = new("a mass concentration", "30 ug/m3", new("ug/m3"), new("mg/m3", 1000), new("ng/m3", 1, 1000));

    /// <summary>Power [W].</summary>
    public static Quantity Power { get; } = new("a power", "40 W", new("W"), new("kW", 1000), new("mW", 1, 1000));

    /// <summary>Heat capacity of a body [J/K].</summary>
    public static Quantity HeatCapacity { get; } = new("a heat capacity", "18.4 J/K", new("J/K"), new("kJ/K", 1000));

    /// <summary>Heat capacity for each gram [J/(g K)].</summary>
    public static Quantity SpecificHeat { get; } = new("a specific heat", "1.8 J/(g K)", new("J/gK", Shown: "J/(g K)"), new("J/g/K"), new("kJ/kgK", Shown: "kJ/(kg K)"), new("J/kgK", 1, 1000, "J/(kg K)"), new("J/kg/K", 1, 1000));

    /// <summary>Heat capacity for each length of filament [J/K/mm].</summary>
    public static Quantity FilamentHeat { get; } = new("a heat capacity for each mm of filament", "0.0056 J/K/mm", new("J/K/mm"), new("J/mmK", Shown: "J/(mm K)"));

    /// <summary>Loss of heat for each kelvin [W/K].</summary>
    public static Quantity HeatLoss { get; } = new("a heat loss", "0.07 W/K", new("W/K"), new("mW/K", 1, 1000));

    /// <summary>A share, 1 being the whole [-].</summary>
    public static Quantity Share { get; } = new("a share", "0.2 or 20 %", new(""), new("%", 1, 100), new("1"));

    /// <summary>A plain number [-].</summary>
    public static Quantity Number { get; } = new("a plain number", "1.5", new(""), new("1"));

    /// <summary>What it is, with its article.</summary>
    public string Name { get; }

    /// <summary>An example as a user writes it.</summary>
    public string Example { get; }

    /// <summary>The unit values are held in; empty for plain numbers and shares.</summary>
    public string HeldUnit => _units[0].Shown ?? _units[0].Symbol;

    /// <summary>Whether a number without a unit is complete.</summary>
    public bool IsDimensionless => _units[0].Symbol.Length == 0;

    /// <summary>The units it may be written in, the held one first, as shown to a user.</summary>
    public IEnumerable<string> Units => _units.Where(u => u.Symbol is not ("" or "1") && u.Symbol[0] != '/').Select(u => u.Shown ?? u.Symbol);

    private static IEnumerable<Quantity> All =>
    [
        Time, Length, ParticleDiameter, Area, Volume, AirVolume, Speed, Acceleration, Flow, AirFlow, Density, Temperature, TemperatureStep,
        TemperatureRate, PerKelvin, RatePerH, RatePerS, Mass, MassRate, EmittedMassRate, NumberRate, NumberYield, MassYield,
        NumberConcentration, MassConcentration, Power, HeatCapacity, SpecificHeat, FilamentHeat, HeatLoss, Share,
    ];

    /// <summary>Another quantity that is written in a unit, to explain a mistake.</summary>
    internal static Quantity? OfUnit(string symbol) => All.FirstOrDefault(q => q._units.Any(u => u.Symbol == symbol));

    /// <summary>Finds a unit by its symbol without blanks, brackets and carets.</summary>
    internal bool TryUnit(string symbol, out Unit unit)
    {
        foreach (var candidate in _units)
        {
            if (candidate.Symbol == symbol)
            {
                unit = candidate;
                return true;
            }
        }

        unit = default;
        return false;
    }

    /// <summary>A unit: how many held units it is, as whole numbers times and over so that conversion rounds once.</summary>
    internal readonly record struct Unit(string Symbol, double Times = 1, double Over = 1, string? Shown = null)
    {
        public double ToHeld(double value) => value * Times / Over;
    }
}
