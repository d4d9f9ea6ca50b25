// SPDX-License-Identifier: MIT
using Fumecast.Emission;

namespace Fumecast.Forecast;

/// <summary>The material tables of a run; each is read once, so that every job of a material shares one.</summary>
internal sealed class LoadedMaterials
{
    private readonly Dictionary<string, Material> _byName = [];
    private readonly MaterialCatalogue _catalogue = new();

    /// <summary>The catalogue.</summary>
    public MaterialCatalogue Catalogue => _catalogue;

    /// <summary>A material by its id or file.</summary>
    /// <param name="idOrPath">Id of ours, or a file.</param>
    /// <exception cref="Inputs.InputProblem">There is none, or it cannot be used.</exception>
    public Material Load(string idOrPath)
    {
        lock (_byName)
        {
            if (!_byName.TryGetValue(idOrPath, out var material))
            {
                material = _catalogue.Load(idOrPath);
                _byName[idOrPath] = material;
            }

            return material;
        }
    }

    /// <summary>Adds a material that stands in no file.</summary>
    /// <param name="name">What it is asked for by.</param>
    /// <param name="material">The material.</param>
    public void Put(string name, Material material)
    {
        lock (_byName)
        {
            _byName[name] = material;
        }
    }

    /// <summary>Loads the material that a word of a comment means.</summary>
    /// <param name="match">Its meaning.</param>
    public Material Load(WordMatch match)
    {
        if (match.Wider == 1)
        {
            return Load(match.Id);
        }

        lock (_byName)
        {
            // No name of a file or an id holds the sign.
            var name = $"{match.Id}\0{match.Wider}";
            if (!_byName.TryGetValue(name, out var material))
            {
                material = _catalogue.Load(match);
                _byName[name] = material;
            }

            return material;
        }
    }

    /// <summary>The material that a word of a comment means, with what is doubtful about that; null when it means none.</summary>
    /// <param name="word">The word.</param>
    public WordMatch? ForWord(string word)
    {
        lock (_byName)
        {
            return _catalogue.ForWord(word);
        }
    }

    /// <summary>What is doubtful about a name that an option gives, or null.</summary>
    /// <param name="idOrPath">Id of ours, a file, or a word.</param>
    public string? DoubtOf(string idOrPath)
    {
        lock (_byName)
        {
            return _catalogue.DoubtOf(idOrPath);
        }
    }
}
