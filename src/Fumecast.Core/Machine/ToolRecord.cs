// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>How hot a tool was while it deposited.</summary>
public sealed class ToolRecord
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

    internal void Deposit(double mm3, double nozzleC)
    {
        DepositedMm3 += mm3;
        _weightedC += mm3 * nozzleC;
        MinC = Math.Min(MinC, nozzleC);
        MaxC = Math.Max(MaxC, nozzleC);
    }
}
