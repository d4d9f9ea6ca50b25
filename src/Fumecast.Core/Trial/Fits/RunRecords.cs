// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Readings of one quantity over one run, as an estimator takes them: each the mean over its record, in the order of time. Rows that do not count are not among them.</summary>
internal sealed record RunRecords
{
    /// <summary>When each record begins, rising [h].</summary>
    public double[] StartsH { get; }

    /// <summary>What the meter showed [its unit for each m3].</summary>
    public double[] Values { get; }

    /// <summary>Length of a record [h].</summary>
    public double LengthH { get; }

    /// <summary>Step of the display [unit of the values]; 0 when it shows everything.</summary>
    public double DisplayStep { get; }

    /// <summary>Middle of the log [h], from which a drift counts.</summary>
    public double MiddleH => (StartsH[0] + StartsH[^1]) / 2;

    /// <summary>Readings of one run.</summary>
    /// <param name="startsH">When each record begins, rising [h]; at least two.</param>
    /// <param name="values">What the meter showed, finite.</param>
    /// <param name="lengthH">Length of a record [h], over 0.</param>
    /// <param name="displayStep">Step of the display; 0 when it shows everything.</param>
    /// <exception cref="ArgumentException">The records do not rise, or their numbers differ.</exception>
    public RunRecords(double[] startsH, double[] values, double lengthH, double displayStep)
    {
        ArgumentNullException.ThrowIfNull(startsH);
        ArgumentNullException.ThrowIfNull(values);
        if (startsH.Length < 2 || startsH.Length != values.Length || !(lengthH > 0) || !(displayStep >= 0))
        {
            throw new ArgumentException("expected two records or more, as many values, a length over 0 and a step of 0 or more", nameof(values));
        }

        for (var i = 0; i < startsH.Length; i++)
        {
            if (!double.IsFinite(values[i]) || (i > 0 && !(startsH[i - 1] < startsH[i])))
            {
                throw new ArgumentException("expected rising starts and finite values", nameof(startsH));
            }
        }

        (StartsH, Values, LengthH, DisplayStep) = (startsH, values, lengthH, displayStep);
    }
}
