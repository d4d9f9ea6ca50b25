// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>The bin with the highest rate of an agent. A full bin goes before a last one that is shorter, whose mean says less.</summary>
internal sealed class PeakBin
{
    private readonly List<double> components = [];
    private double ratePerS;
    private double durationS;
    private bool isFull;

    /// <summary>Middle of the bin [s].</summary>
    public double AtS { get; private set; }

    public void Consider(double rate, double startS, double lengthS, bool full, ReadOnlySpan<double> bin)
    {
        if (full == isFull ? rate <= ratePerS : isFull || !(rate > 0))
        {
            return;
        }

        (ratePerS, durationS, isFull, AtS) = (rate, lengthS, full, startS + lengthS / 2);
        components.Clear();
        components.AddRange(bin);
    }

    /// <summary>Its rate [unit of the agent per min].</summary>
    public Uncertain PerMin(BinRates rates, int agent, int agents)
    {
        if (!(ratePerS > 0))
        {
            return default;
        }

        var all = new Uncertain[agents];
        rates.PerMin(CollectionsMarshal.AsSpan(components), durationS, all);
        return all[agent];
    }
}
