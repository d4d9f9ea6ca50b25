// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>How hot a tool was while it deposited.</summary>
internal sealed class ToolRecord
{
    private double _weightedC;

    /// <summary>Deposited volume [mm3].</summary>
    public double DepositedMm3 { get; private set; }

    /// <summary>Lowest nozzle temperature of a slice with deposit; infinite if there was none [degC].</summary>
    public double MinC { get; private set; } = double.PositiveInfinity;

    /// <summary>Highest nozzle temperature of a slice with deposit; infinite if there was none [degC].</summary>
    public double MaxC { get; private set; } = double.NegativeInfinity;

    /// <summary>Mean nozzle temperature weighted by deposit; NaN if there was none [degC].</summary>
    public double MeanC => _weightedC / DepositedMm3;

    /// <summary>The most power that the nozzle's heater would need over a second to hold its set point at the flow of the job; 0 without deposit [W].</summary>
    public double NeededHeaterW { get; private set; }

    /// <summary>When the flow first was more than the heater of the profile can melt, so that it is taken to hold its set point from then on; null if never [s].</summary>
    public double? HeaterTooSmallFromS { get; internal set; }

    /// <summary>How far the nozzle sank at most below its set point because the flow asked for more than the heater has; 0 if it never did [K].</summary>
    public double SankK { get; private set; }

    internal void Sink(double kelvin) => SankK = Math.Max(SankK, kelvin);

    internal void Ask(double heaterW) => NeededHeaterW = Math.Max(NeededHeaterW, heaterW);

    internal void Deposit(double mm3, double nozzleC)
    {
        DepositedMm3 += mm3;
        _weightedC += mm3 * nozzleC;
        MinC = Math.Min(MinC, nozzleC);
        MaxC = Math.Max(MaxC, nozzleC);
    }
}
