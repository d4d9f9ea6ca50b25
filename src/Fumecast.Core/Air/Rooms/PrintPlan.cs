// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>A job that is printed in a room, once or several times.</summary>
internal sealed record PrintPlan
{
    /// <summary>The job as the room's file names it.</summary>
    public required string Job { get; init; }

    /// <summary>Where its file is: relative paths count from the folder of the room's file.</summary>
    public required string Path { get; init; }

    /// <summary>Id of the zone the printer stands in.</summary>
    public required string Zone { get; init; }

    /// <summary>First start, from the beginning of the run [s], 0 or more.</summary>
    public double StartS { get; init; }

    /// <summary>Printers that print it side by side, 1 to 1000 [-].</summary>
    public int Copies { get; init; } = 1;

    /// <summary>Time from start to start [s]; 0 where it is printed once.</summary>
    public double EveryS { get; init; }

    /// <summary>How often it is started, 1 to 1000 [-].</summary>
    public int Times { get; init; } = 1;

    /// <summary>Place in the room's file, for messages about the job: <c>room.yaml:12:5</c>.</summary>
    public string At { get; init; } = "";
}

/// <summary>A level outdoors.</summary>
/// <param name="Quantity">What it is: <c>particle_number</c>, <c>particle_mass</c>, <c>pm25</c>, <c>tvoc</c>, or a substance.</param>
/// <param name="Agents">The agents it is a level of; PM2.5 counts as particle mass and as what an optical meter sees.</param>
/// <param name="Level">The level: particles in 1/cm3, others in ug/m3.</param>
internal sealed record OutdoorLevel(string Quantity, IReadOnlyList<Agent> Agents, Figure Level);

/// <summary>A steady source that is not the printer.</summary>
/// <param name="Agent">What it gives off.</param>
/// <param name="Zone">Id of the zone it is in.</param>
/// <param name="PerMin">How much: particles in 1/min, others in ug/min.</param>
internal sealed record IndoorSource(Agent Agent, string Zone, Figure PerMin);
