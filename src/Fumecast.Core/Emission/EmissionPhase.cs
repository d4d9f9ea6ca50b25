// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>The parts of a job by what its nozzles did.</summary>
internal enum EmissionPhase
{
    /// <summary>Before the first deposit.</summary>
    WarmUp,

    /// <summary>While depositing.</summary>
    Printing,

    /// <summary>Hot without deposit, after the first one.</summary>
    IdleHot,

    /// <summary>All of them.</summary>
    Whole,
}
