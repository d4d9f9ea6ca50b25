// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>What happened at one nozzle temperature, to within a kelvin: enough to draw totals without going through the job again.</summary>
internal struct TemperatureBin
{
    /// <summary>Deposited mass [g].</summary>
    public double MassG;

    /// <summary>Mass times temperature [g degC].</summary>
    public double MassTimesC;

    /// <summary>Time with deposit [s].</summary>
    public double PrintingS;

    /// <summary>Time without deposit, after the first one [s].</summary>
    public double IdleS;

    /// <summary>Time before the first deposit [s].</summary>
    public double WarmS;

    /// <summary>All time times temperature [s degC].</summary>
    public double TimeTimesC;

    /// <summary>All time [s].</summary>
    public readonly double TimeS => PrintingS + IdleS + WarmS;

    public void Add(in TemperatureBin other)
    {
        MassG += other.MassG;
        MassTimesC += other.MassTimesC;
        PrintingS += other.PrintingS;
        IdleS += other.IdleS;
        WarmS += other.WarmS;
        TimeTimesC += other.TimeTimesC;
    }

    /// <summary>Joins neighbouring kelvins that hold little, up to four: a nozzle on its way passes hundreds of them.</summary>
    /// <remarks>Within four kelvins the exponential of a slope of 0.1 per K differs from that at the mean by at most 0.7 %.</remarks>
    public static List<TemperatureBin> Merge(ReadOnlySpan<TemperatureBin> bins)
    {
        const int Most = 4;
        const double Little = 0.001;
        double massG = 0, timeS = 0;
        foreach (ref readonly var bin in bins)
        {
            massG += bin.MassG;
            timeS += bin.TimeS;
        }

        var merged = new List<TemperatureBin>();
        var open = default(TemperatureBin);
        var joined = 0;
        foreach (ref readonly var bin in bins)
        {
            open.Add(in bin);
            joined++;
            if (joined >= Most || open.MassG > Little * massG || open.TimeS > Little * timeS)
            {
                Close();
            }
        }

        Close();
        return merged;

        void Close()
        {
            if (open.TimeS > 0)
            {
                merged.Add(open);
            }

            (open, joined) = (default, 0);
        }
    }
}
