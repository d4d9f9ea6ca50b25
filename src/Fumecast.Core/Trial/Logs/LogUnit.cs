// SPDX-License-Identifier: MIT
using Fumecast.Air;

namespace Fumecast.Trial;

/// <summary>What a unit measures.</summary>
internal enum UnitKind
{
    Mass,
    Number,
    Fraction,
    Temperature,
    Percent,
    Time,
    Index,
    Other,
}

/// <summary>A unit as logs write it, and how it becomes ours.</summary>
/// <param name="Kind">What it measures.</param>
/// <param name="Canonical">Our unit.</param>
/// <param name="Factor">Ours for each of it [-].</param>
/// <param name="Shift">Added after the factor; for temperatures.</param>
internal sealed record LogUnit(UnitKind Kind, string Canonical, double Factor, double Shift = 0)
{
    /// <summary>Volume of a cubic foot [cm3]: 30.48 cubed.</summary>
    private const double Cm3OfFt3 = 30.48 * 30.48 * 30.48;

    /// <summary>Molar mass of formaldehyde, CH2O [g/mol].</summary>
    private const double FormaldehydeGPerMol = 30.026;

    public static LogUnit MassUg { get; } = new(UnitKind.Mass, "ug_per_m3", 1);

    public static LogUnit Ppb { get; } = new(UnitKind.Fraction, "ppb", 1);

    public static LogUnit Ppm { get; } = new(UnitKind.Fraction, "ppb", 1000);

    public static LogUnit PerCm3 { get; } = new(UnitKind.Number, "per_cm3", 1);

    public static LogUnit PerTenthLitre { get; } = new(UnitKind.Number, "per_cm3", 0.01);

    public static LogUnit PerHundredthFt3 { get; } = new(UnitKind.Number, "per_cm3", 100 / Cm3OfFt3);

    public static LogUnit Celsius { get; } = new(UnitKind.Temperature, "c", 1);

    public static LogUnit Fahrenheit { get; } = new(UnitKind.Temperature, "c", 5 / 9.0, -160 / 9.0);

    public static LogUnit Percent { get; } = new(UnitKind.Percent, "percent", 1);

    public static LogUnit Index { get; } = new(UnitKind.Index, "index", 1);

    public static LogUnit Seconds { get; } = new(UnitKind.Time, "s", 1);

    // As they are written, in the letters of HeaderText.Compact: lower case, no blanks, ^, * or dots in the middle of line; u for micro, deg for the sign of degrees.
    private static readonly Dictionary<string, LogUnit> Table = Make(
        (MassUg, "ug/m3 ugm3 ugm-3 ug/m-3 ug_m3 ug_per_m3 mcg/m3 mcgm3 microg/m3 ug/cbm ug/mc 微克/立方米"),
        (new(UnitKind.Mass, "ug_per_m3", 1000), "mg/m3 mgm3 mgm-3 mg/m-3 mg_m3 mg_per_m3 mg/cbm 毫克/立方米"),
        (new(UnitKind.Mass, "ug_per_m3", 0.001), "ng/m3 ngm3 ngm-3 ng_per_m3"),
        (PerCm3, "#/cm3 1/cm3 /cm3 cm-3 p/cm3 pt/cm3 pt/cc #/cc 1/cc /cc p/cc n/cm3 particles/cm3 particles/cc partikel/cm3 counts/cm3 count/cm3 per_cm3 percm3 #cm3 pcs/cm3 1/ccm #/ccm cm3"),
        (new(UnitKind.Number, "per_cm3", 0.001), "#/l 1/l /l p/l particles/l partikel/l counts/l count/l pcs/l per_l perl per_litre perlitre n/l 个/升 個/l"),
        (PerTenthLitre, "#/0.1l 1/0.1l /0.1l per0.1l per_0.1l #/100ml 1/100ml /100ml #/dl 1/dl /dl particles/0.1l counts/0.1l pcs/0.1l p/0.1l"),
        (new(UnitKind.Number, "per_cm3", 1e-6), "#/m3 1/m3 /m3 p/m3 particles/m3 partikel/m3 counts/m3 count/m3 pcs/m3 per_m3 perm3 m-3"),
        (new(UnitKind.Number, "per_cm3", 1 / Cm3OfFt3), "#/ft3 1/ft3 /ft3 #/cf 1/cf /cf #/cft particles/ft3 counts/ft3 pcs/ft3 per_ft3 perft3 ft-3 p/ft3"),
        (PerHundredthFt3, "#/0.01ft3 1/0.01ft3 /0.01ft3 #/0.01cf 1/0.01cf per0.01ft3 #/.01ft3 1/.01ft3"),
        (Ppm, "ppm ppmv"),
        (Ppb, "ppb ppbv"),
        (Celsius, "degc c celsius degcelsius gradc deg_c 摄氏度 ℃"),
        (Fahrenheit, "degf f fahrenheit deg_f ℉"),
        (new(UnitKind.Temperature, "c", 1, -273.15), "k kelvin"),
        (Percent, "% percent pct %rh rh% rh,% %r.h. %rf %hr prozent percentage"),
        (Seconds, "s sec secs second seconds sek sekunde sekunden seconde secondes segundos secondi seconden sekundy 秒"),
        (new(UnitKind.Time, "s", 0.001), "ms msec millis milliseconds millisekunden milliseconde"),
        (new(UnitKind.Time, "s", 60), "min mins minute minutes minuten minutos minuti minuut minuty 分"),
        (new(UnitKind.Time, "s", 3600), "h hr hrs hour hours std stunde stunden heure heures horas ore uur uren godziny 時間 小时"),
        (new(UnitKind.Time, "s", 86400), "d day days tage jours dias giorni dagen dni"),
        (new(UnitKind.Other, "", 1), "hpa mbar kpa pa bar inhg mmhg v mv volt ma dbm lux lx db dba nm um g/m3 m km m/s km/h mm l/min lpm kb mb hz rpm deg bq/m3 pci/l"));

    /// <summary>The unit of a text; null where it is none of ours.</summary>
    /// <param name="compact">The text in the letters of <see cref="HeaderText.Compact"/>.</param>
    public static LogUnit? Of(string compact) => Table.GetValueOrDefault(compact);

    /// <summary>The unit as it applies to a quantity: parts of air stay parts, except where the molar mass of the substance is known. Null where it cannot be a unit of it.</summary>
    /// <param name="quantity">Name of the quantity.</param>
    public LogUnit? For(string quantity) => (quantity, Kind) switch
    {
        ("pm1" or "pm25" or "pm4" or "pm10", UnitKind.Mass) or ("number", UnitKind.Number) or ("tvoc", UnitKind.Mass or UnitKind.Fraction) => this,
        ("tvoc_index", UnitKind.Index) or ("humidity", UnitKind.Percent) or ("temperature", UnitKind.Temperature) or ("formaldehyde", UnitKind.Mass) => this,
        ("co2", UnitKind.Fraction) => new(UnitKind.Fraction, "ppm", Factor / 1000),
        ("co2", UnitKind.Percent) => new(UnitKind.Fraction, "ppm", 1e4),
        ("formaldehyde", UnitKind.Fraction) => new(UnitKind.Mass, "ug_per_m3", Factor * VapourUnits.MgPerM3OfPpm(FormaldehydeGPerMol)),
        _ => null,
    };

    /// <summary>The unit that a quantity is taken to have where none is written; null where that cannot be guessed.</summary>
    /// <param name="quantity">Name of the quantity.</param>
    public static LogUnit? Usual(string quantity) => quantity switch
    {
        "pm1" or "pm25" or "pm4" or "pm10" => MassUg,
        "number" => PerCm3,
        "tvoc" => Ppb,
        "co2" => Ppm.For("co2"),
        "temperature" => Celsius,
        "humidity" => Percent,
        "tvoc_index" => Index,
        _ => null,
    };

    /// <summary>A written value in our unit.</summary>
    public double Convert(double written) => (written * Factor) + Shift;

    private static Dictionary<string, LogUnit> Make(params ReadOnlySpan<(LogUnit Unit, string Names)> entries)
    {
        var table = new Dictionary<string, LogUnit>();
        foreach (var (unit, names) in entries)
        {
            foreach (var name in names.Split(' '))
            {
                table.Add(name, unit);
            }
        }

        return table;
    }
}
