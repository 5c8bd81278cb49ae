namespace XoverOpt.Workshop;

/// <summary>Finds the known name nearest to a misspelt one.</summary>
public static class Nearest
{
    /// <summary>
    /// The nearest of the known names, or null when none is near enough to be meant: at most a third of the letters wrong, two in a
    /// short name. Letter case does not count.
    /// </summary>
    public static string? To(string name, IEnumerable<string> known)
    {
        // A very long name is nobody's slip of the finger, and the distance costs the product of the lengths.
        if (name.Length > 80)
        {
            return null;
        }

        (string Name, int Distance)? best = null;
        foreach (string candidate in known.Where(candidate => candidate.Length <= 80))
        {
            int distance = Distance(name.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (distance <= Math.Max(2, candidate.Length / 3) && distance < candidate.Length && (best is null || distance < best.Value.Distance))
            {
                best = (candidate, distance);
            }
        }

        return best?.Name;
    }

    /// <summary>"Did you mean …?" for the nearest known name, or null.</summary>
    public static string? Hint(string name, IEnumerable<string> known) =>
        To(name, known) is { } nearest ? $"Did you mean \"{nearest}\"?" : null;

    /// <summary>Edit distance: letters put in, left out, changed, or swapped with their neighbour (optimal string alignment).</summary>
    private static int Distance(string a, string b)
    {
        int[,] d = new int[a.Length + 1, b.Length + 1];
        for (int i = 0; i <= a.Length; i++)
        {
            for (int j = 0; j <= b.Length; j++)
            {
                if (i == 0 || j == 0)
                {
                    d[i, j] = i + j;
                    continue;
                }

                int change = d[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
                d[i, j] = Math.Min(change, Math.Min(d[i - 1, j], d[i, j - 1]) + 1);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    d[i, j] = Math.Min(d[i, j], d[i - 2, j - 2] + 1);
                }
            }
        }

        return d[a.Length, b.Length];
    }
}
