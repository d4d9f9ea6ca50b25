// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Inputs;

/// <summary>Keys and values of a data file, read strictly: every key must be asked for, and every number has its unit.</summary>
/// <remarks>
/// Use <see cref="Read{T}"/>: it parses, lets the caller read, and then refuses keys that nobody asked for, in the map and in all maps inside it.
/// Every mistake is an <see cref="InputProblem"/> with file, line and column. A missing or wrong value does not end the reading: something allowed stands
/// in for it, so that all missing keys are found at once; what was made of stand-ins never leaves <see cref="Read{T}"/>.
/// </remarks>
internal sealed class YamlMap
{
    private readonly string _file;
    private readonly YamlNode _node;

    // Which of its keys were asked for, and keys that were although it has none of that name.
    private readonly bool[] _asked;
    private List<string>? _askedInVain;
    private List<YamlMap>? _inner;
    private YamlMistakes _mistakes;
    private readonly string _path;

    /// <param name="file">The file as named in messages.</param>
    /// <param name="node">A map.</param>
    /// <param name="path">The keys that lead to it, with dots; empty for the outermost.</param>
    /// <param name="mistakes">Takes what is found wrong.</param>
    private YamlMap(string file, YamlNode node, string path, YamlMistakes mistakes)
    {
        _file = file;
        _node = node;
        _path = path;
        _mistakes = mistakes;
        _asked = new bool[node.Entries!.Count];
    }

    /// <summary>The file as named in messages.</summary>
    public string File => _file;

    /// <summary>The keys in the order of the file.</summary>
    public IEnumerable<string> Keys => _node.Entries!.Select(e => e.Key.Scalar!);

    /// <summary>Reads a data file and checks that nothing in it was left unread.</summary>
    /// <param name="data">The file and its text.</param>
    /// <param name="read">Makes the result from the outermost map.</param>
    /// <exception cref="InputProblem">The text is not YAML, or not what <paramref name="read"/> expects.</exception>
    public static T Read<T>(DataFile data, Func<YamlMap, T> read)
    {
        ArgumentNullException.ThrowIfNull(data);
        ArgumentNullException.ThrowIfNull(read);
        var mistakes = new YamlMistakes(data.Name);
        var map = Outermost(data, mistakes);
        T result;
        try
        {
            result = read(map);
        }
        catch (InputProblem)
        {
            // Perhaps of a stand-in: what was found before is certain, and comes first in the file's own order.
            mistakes.Throw();
            throw;
        }

        mistakes.Throw();
        map.RefuseUnread();
        return result;
    }

    /// <summary>Text of the key <c>schema</c>, which tells what kind of data a file holds; nothing else is checked. Null when there is no such key.</summary>
    /// <param name="data">The file and its text.</param>
    /// <exception cref="InputProblem">The text is not YAML, or the schema is no text.</exception>
    public static string? SchemaOf(DataFile data)
    {
        ArgumentNullException.ThrowIfNull(data);
        var mistakes = new YamlMistakes(data.Name);
        var found = Outermost(data, mistakes).OptionalText("schema");
        mistakes.Throw();
        return found;
    }

    /// <summary>Makes sure that the key <c>schema</c> names the kind of data that is wanted; another kind is not read any further.</summary>
    /// <param name="expected">The schema, such as <c>fumecast/printer/1</c>.</param>
    /// <exception cref="InputProblem">The file is of another kind.</exception>
    public void Schema(string expected)
    {
        if (OptionalText("schema") is { } found)
        {
            if (found != expected)
            {
                throw Problem("schema", $"found '{found}', expected '{expected}'");
            }
        }
        else
        {
            Missing("schema", $"'{expected}'");
        }
    }

    /// <summary>Whether a key is there.</summary>
    /// <param name="key">The key.</param>
    public bool Has(string key) => Find(key) is not null || _node.IndexOf(key) >= 0;

    /// <summary>Whether the value of a key is a map.</summary>
    /// <param name="key">The key.</param>
    public bool IsMap(string key) => _node.IndexOf(key) is >= 0 and var i && _node.Entries![i].Value.Entries is not null;

    /// <summary>Whether the value of a key is a text or a number.</summary>
    /// <param name="key">The key.</param>
    public bool IsText(string key) => _node.IndexOf(key) is >= 0 and var i && _node.Entries![i].Value is { Scalar: not null, IsEmpty: false };

    /// <summary>Whether the value of a key is a list.</summary>
    /// <param name="key">The key.</param>
    public bool IsList(string key) => _node.IndexOf(key) is >= 0 and var i && _node.Entries![i].Value.Items is not null;

    /// <summary>Where the value of a key stands, for messages about what it names: <c>room.yaml:12:5</c>.</summary>
    /// <param name="key">The key; when absent the place is that of the map.</param>
    public string PlaceOf(string key)
    {
        var at = At(key);
        return string.Create(CultureInfo.InvariantCulture, $"{_file}:{at.Line}:{at.Column}");
    }

    /// <summary>Notes that an item of a list cannot be right, and lets the reading go on.</summary>
    /// <param name="key">The key of the list.</param>
    /// <param name="index">Which item, from 0 [-].</param>
    /// <param name="message">What was found, what was expected and how to mend it.</param>
    public void RefuseItem(string key, int index, string message)
    {
        var at = At(key);
        var item = at.Items is { } items && index < items.Count ? items[index] : at;
        _mistakes.Wrong(new InputProblem(_file, item.Line, item.Column, $"{key}: {message}"));
    }

    /// <summary>Notes that the value of a key cannot be right, and lets the reading go on; the file is refused at its end.</summary>
    /// <param name="key">The key; when absent the place is that of the map.</param>
    /// <param name="message">What was found, what was expected and how to mend it.</param>
    public void Refuse(string key, string message) => _mistakes.Wrong(Problem(key, message));

    /// <summary>A problem at the value of a key, to be thrown.</summary>
    /// <param name="key">The key; when absent the place is that of the map.</param>
    /// <param name="message">What was found, what was expected and how to mend it.</param>
    public InputProblem Problem(string key, string message)
    {
        var at = At(key);
        return new InputProblem(_file, at.Line, at.Column, $"{key}: {message}");
    }

    private YamlNode At(string key) => _node.IndexOf(key) is >= 0 and var i ? _node.Entries![i].Value : _node;

    /// <summary>Text of a required key, not empty.</summary>
    /// <param name="key">The key.</param>
    public string Text(string key) => OptionalText(key) ?? StandIn(key, "a text", "x");

    /// <summary>Id of a data file, from the required key <c>id</c>: small letters, digits and dashes.</summary>
    public string Id()
    {
        var id = Text("id");
        if (!id.All(static c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == '-'))
        {
            Refuse("id", $"found '{id}', expected small letters, digits and dashes");
        }

        return id;
    }

    /// <summary>One of a few words, of a required key.</summary>
    /// <param name="key">The key.</param>
    /// <param name="words">The words, at least one.</param>
    /// <param name="expected">How a message lists them: <c>A, B, C or D</c>.</param>
    public string Word(string key, IReadOnlyList<string> words, string expected)
    {
        ArgumentNullException.ThrowIfNull(words);
        var found = OptionalText(key) ?? StandIn(key, expected, words[0]);
        if (words.Contains(found))
        {
            return found;
        }

        Refuse(key, $"found '{found}', expected {expected}");
        return words[0];
    }

    /// <summary>Text of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    public string? OptionalText(string key)
    {
        if (Find(key) is not { } value)
        {
            return null;
        }

        return string.IsNullOrWhiteSpace(value.Scalar) ? Wrong<string>(key, value, "a text") : value.Scalar.Trim();
    }

    /// <summary>List of texts of a key; empty when it is absent. A single text counts as a list of one.</summary>
    /// <param name="key">The key.</param>
    public IReadOnlyList<string> Texts(string key)
    {
        if (Find(key) is not { } value)
        {
            return [];
        }

        List<YamlNode> items = value.Scalar is null ? value.Items ?? Wrong<List<YamlNode>>(key, value, "a list of texts") ?? [] : [value];
        return [.. items.Select(i => i.Scalar is { } text && !i.IsEmpty ? text.Trim() : Wrong<string>(key, i, "a text") ?? "x")];
    }

    /// <summary>List of texts of a required key, at least one. A single text counts as a list of one.</summary>
    /// <param name="key">The key.</param>
    /// <param name="expected">What is wanted, for a message: <c>the id of a source or a list of them</c>.</param>
    public IReadOnlyList<string> RequiredTexts(string key, string expected)
    {
        var found = Texts(key);
        return found.Count > 0 ? found : [StandIn(key, expected, "x")];
    }

    /// <summary>Number of a required key.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What it is; the number needs one of its units.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>The value in <see cref="Quantity.HeldUnit"/>, finite.</returns>
    public double Number(string key, Quantity quantity, double min, double max) =>
        OptionalNumber(key, quantity, min, max) ?? StandIn(key, $"{quantity.Name} such as {quantity.Example}", Allowed(min, max));

    /// <summary>Number of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What it is; the number needs one of its units.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>The value in <see cref="Quantity.HeldUnit"/>, finite.</returns>
    public double? OptionalNumber(string key, Quantity quantity, double min, double max)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        return Find(key) is { } value ? NumberOf(key, value, quantity, min, max) : null;
    }

    /// <summary>Range of a required key, written <c>[low, high]</c>.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What both ends are.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>Both ends in <see cref="Quantity.HeldUnit"/>, the lower one first.</returns>
    public (double Low, double High) Range(string key, Quantity quantity, double min, double max) =>
        OptionalRange(key, quantity, min, max) ?? StandIn(key, $"two ends such as [{quantity.Example}, {quantity.Example}]", (Allowed(min, max), Allowed(min, max)));

    /// <summary>Range of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What both ends are.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>Both ends in <see cref="Quantity.HeldUnit"/>, the lower one first.</returns>
    public (double Low, double High)? OptionalRange(string key, Quantity quantity, double min, double max)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        if (Find(key) is not { } value)
        {
            return null;
        }

        if (value.Items is not { Count: 2 } ends)
        {
            _ = Wrong<string>(key, value, $"two ends such as [{quantity.Example}, {quantity.Example}]");
            return null;
        }

        if (NumberOf(key, ends[0], quantity, min, max) is not { } low || NumberOf(key, ends[1], quantity, min, max) is not { } high)
        {
            return null;
        }

        if (low <= high)
        {
            return (low, high);
        }

        _ = Wrong<string>(key, ends[0], $"the lower end first; {QuantityText.Show(low, quantity)} is over {QuantityText.Show(high, quantity)}");
        return null;
    }

    /// <summary>Whole number of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    /// <param name="min">Smallest allowed value [-].</param>
    /// <param name="max">Largest allowed value [-].</param>
    public int? OptionalInteger(string key, int min, int max)
    {
        if (Find(key) is not { } value)
        {
            return null;
        }

        if (int.TryParse(value.Scalar, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number) && number >= min && number <= max)
        {
            return number;
        }

        _ = Wrong<string>(key, value, string.Create(CultureInfo.InvariantCulture, $"a whole number from {min} to {max}"));
        return null;
    }

    /// <summary><c>true</c> or <c>false</c> of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    public bool? OptionalFlag(string key)
    {
        switch (Find(key))
        {
            case null:
                return null;
            case { Scalar: "true" }:
                return true;
            case { Scalar: "false" }:
                return false;
            case var value:
                _ = Wrong<string>(key, value, "true or false");
                return null;
        }
    }

    /// <summary>One of the names of an enumeration, written in lower case with dashes (<c>PerAxisJerk</c> as <c>per-axis-jerk</c>), of a required key.</summary>
    /// <param name="key">The key.</param>
    public T Choice<T>(string key) where T : struct, Enum
    {
        if (OptionalChoice<T>(key) is { } chosen)
        {
            return chosen;
        }

        var standIn = StandIn(key, $"one of {string.Join(", ", Enum.GetNames<T>().Select(Dashed))}", Enum.GetValues<T>()[0]);

        if (_node.IndexOf(key) >= 0)
        {
            // Wrong, and what else the map needs may hang on what was meant.
            _mistakes = _mistakes.Unheard;
        }

        return standIn;
    }

    /// <summary>One of the names of an enumeration, written in lower case with dashes, or null when the key is absent.</summary>
    /// <param name="key">The key.</param>
    public T? OptionalChoice<T>(string key) where T : struct, Enum
    {
        if (Find(key) is not { } value)
        {
            return null;
        }

        var names = Array.ConvertAll(Enum.GetNames<T>(), Dashed);
        var index = Array.IndexOf(names, value.Scalar);
        if (index >= 0)
        {
            return Enum.GetValues<T>()[index];
        }

        var near = value.Scalar is { } word && Nearest.To(word, names) is { } meant ? $"; did you mean '{meant}'?" : "";
        _ = Wrong<string>(key, value, $"one of {string.Join(", ", names)}{near}");
        return null;
    }

    /// <summary>Map of a required key.</summary>
    /// <param name="key">The key.</param>
    public YamlMap Map(string key)
    {
        if (OptionalMap(key) is { } map)
        {
            return map;
        }

        // An empty one stands in: what it would need is missing as well, unless the map is there as something else or under a misspelt key.
        var isMissing = Missing(key, "a map of keys and values");
        return new YamlMap(_file, YamlNode.NewMap(_node.Line, _node.Column), PathOf(key), isMissing ? _mistakes : _mistakes.Unheard);
    }

    /// <summary>Map of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    public YamlMap? OptionalMap(string key) => Find(key) is { } value ? Inner(value, key) : null;

    /// <summary>List of maps of a key; empty when it is absent.</summary>
    /// <param name="key">The key.</param>
    public IReadOnlyList<YamlMap> Maps(string key)
    {
        if (Find(key) is not { } value)
        {
            return [];
        }

        return [.. (value.Items ?? Wrong<List<YamlNode>>(key, value, "a list of maps") ?? []).Select(item => Inner(item, key)).OfType<YamlMap>()];
    }

    /// <summary>List of lists of texts of a key; empty when it is absent.</summary>
    /// <param name="key">The key.</param>
    public IReadOnlyList<IReadOnlyList<string>> TextLists(string key)
    {
        if (Find(key) is not { } value)
        {
            return [];
        }

        return [.. (value.Items ?? Wrong<List<YamlNode>>(key, value, "a list of lists of texts") ?? [])
            .Select(item => (IReadOnlyList<string>)[.. (item.Items ?? Wrong<List<YamlNode>>(key, item, "a list of texts") ?? []).Select(text => text.Scalar?.Trim() ?? "")])];
    }

    /// <summary>Refuses what <see cref="Read{T}"/> would refuse: keys that nobody asked for, here and in all maps inside.</summary>
    private void RefuseUnread()
    {
        if (Array.IndexOf(_asked, false) is >= 0 and var unread)
        {
            var key = _node.Entries![unread].Key;
            var free = (_askedInVain ?? []).Order(StringComparer.Ordinal).ToArray();
            throw new InputProblem(_file, key.Line, key.Column, $"unknown key '{key.Scalar}'{Nearest.Hint(key.Scalar!, free)}");
        }

        foreach (var map in _inner ?? [])
        {
            map.RefuseUnread();
        }
    }

    private static YamlMap Outermost(DataFile data, YamlMistakes mistakes)
    {
        var node = YamlNode.Parse(data.Name, data.Text);
        return node.Entries is not null
            ? new YamlMap(data.Name, node, "", mistakes)
            : throw new InputProblem(data.Name, node.Line, node.Column, $"the file: found {node.Describe()}, expected a map of keys and values");
    }

    private YamlNode? Find(string key)
    {
        var index = _node.IndexOf(key);
        if (index < 0)
        {
            _askedInVain ??= [];
            if (!_askedInVain.Contains(key))
            {
                _askedInVain.Add(key);
            }

            return null;
        }

        var value = _node.Entries![index].Value;
        var isNew = !_asked[index];
        _asked[index] = true;

        if (value.IsEmpty && isNew)
        {
            _mistakes.Wrong(new InputProblem(_file, value.Line, value.Column, $"{key}: found nothing; give a value or remove the key"));
        }

        return value.IsEmpty ? null : value;
    }

    private double? NumberOf(string key, YamlNode value, Quantity quantity, double min, double max)
    {
        if (value.Scalar is null)
        {
            _ = Wrong<string>(key, value, $"{quantity.Name} such as {quantity.Example}");
            return null;
        }

        if (!QuantityText.TryParse(value.Scalar, quantity, null, out var number, out var problem))
        {
            _mistakes.Wrong(new InputProblem(_file, value.Line, value.Column, $"{key}: {problem}"));
            return null;
        }

        if (number >= min && number <= max)
        {
            return number;
        }

        var limits = double.IsInfinity(max) ? $"at least {QuantityText.Show(min, quantity)}"
            : double.IsInfinity(min) ? $"at most {QuantityText.Show(max, quantity)}"
            : $"{QuantityText.Show(min, quantity)} to {QuantityText.Show(max, quantity)}";
        _ = Wrong<string>(key, value, limits);
        return null;
    }

    private YamlMap? Inner(YamlNode value, string key)
    {
        if (value.Entries is null)
        {
            return Wrong<YamlMap>(key, value, "a map of keys and values");
        }

        var map = new YamlMap(_file, value, PathOf(key), _mistakes);
        (_inner ??= []).Add(map);
        return map;
    }

    private string PathOf(string key) => _path.Length == 0 ? key : $"{_path}.{key}";

    /// <summary>Notes a wrong value; the caller goes on without one.</summary>
    private T? Wrong<T>(string key, YamlNode value, string expected) where T : class
    {
        _mistakes.Wrong(new InputProblem(_file, value.Line, value.Column, $"{key}: found {value.Describe()}, expected {expected}"));
        return null;
    }

    private T StandIn<T>(string key, string expected, T standIn)
    {
        Missing(key, expected);
        return standIn;
    }

    /// <summary>Some value within limits.</summary>
    private static double Allowed(double min, double max) => double.IsFinite(min) ? min : double.IsFinite(max) ? max : 0;

    /// <summary>Notes that a key is missing; one that is there with a wrong value was noted already.</summary>
    /// <returns>Whether it is not there, under a misspelt key neither.</returns>
    private bool Missing(string key, string expected)
    {
        if (_node.IndexOf(key) >= 0)
        {
            return false;
        }

        // A misspelt key is the likely reason: say so where it stands.
        var unread = Keys.Where((_, i) => !_asked[i]).ToArray();
        var place = Nearest.To(key, unread) is { } near ? _node.Entries!.First(e => e.Key.Scalar == near).Key : null;
        _mistakes.Missing(new MissingKey(_path, _node.Line, _node.Column, key, expected, place));
        return place is null;
    }

    private static string Dashed(string name)
    {
        var text = new System.Text.StringBuilder();
        foreach (var c in name)
        {
            if (char.IsUpper(c) && text.Length > 0)
            {
                text.Append('-');
            }

            text.Append(char.ToLowerInvariant(c));
        }

        return text.ToString();
    }
}
