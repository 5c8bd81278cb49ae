using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads which receivers a way may have: by tags, by part numbers, or by the way's name.</summary>
/// <param name="inventory">The drawer; null when it could not be read: then nothing is looked up.</param>
/// <param name="rule">What may be taken from the drawer.</param>
internal sealed class ReceiverChoice(Inventory? inventory, StockRule rule)
{
    /// <summary>Reads "receivers" of a way, or takes the default.</summary>
    /// <param name="reader">The way; null for a default way.</param>
    /// <param name="at">Takes faults that have no place of their own.</param>
    /// <param name="name">The way's name.</param>
    /// <param name="fewest">The fewest receivers the way can have.</param>
    public IReadOnlyList<StockReceiver> Read(ObjectReader? reader, JsonCursor at, string name, int fewest)
    {
        List<StockReceiver> chosen = [];
        int before = at.Faults.Count;
        if (reader?.Object("receivers") is { } choice)
        {
            bool byTags = choice.Has("tags"), byPart = choice.Has("partNumbers");
            if (byTags == byPart)
            {
                choice.At.Refuse("an object with either \"tags\" or \"partNumbers\"");
            }

            string[] parts = inventory is null ? [] : [.. inventory.Receivers.Select(receiver => receiver.Receiver.PartNumber)];
            List<string> tags = Known(choice.List("tags", 1, 200), inventory?.Tags, "a tag of the drawer");
            List<string> partNumbers = Known(choice.List("partNumbers", 1, 2000), inventory is null ? null : parts, "a receiver of the drawer");
            choice.Finish();
            chosen = [.. (inventory?.Receivers ?? []).Where(r => partNumbers.Contains(r.Receiver.PartNumber) || r.Tags.Any(tags.Contains))];
            at = choice.At;
        }
        else if (inventory is null || reader?.Has("receivers") == true)
        {
            return chosen;
        }
        else if (inventory.Tags.Contains(name))
        {
            chosen = [.. inventory.Receivers.Where(receiver => receiver.Tags.Contains(name))];
        }
        else if (reader is null)
        {
            chosen = [.. inventory.Receivers];
        }
        else
        {
            _ = reader.Required("receivers", "an object with \"tags\" or \"partNumbers\", since no receiver bears the way's name as a tag");
            return chosen;
        }

        StockReceiver[] served = [.. chosen.Where(receiver => rule.Serves(receiver.Supply, fewest))];
        if (served.Length == 0 && inventory is not null && at.Faults.Count == before)
        {
            at.Refuse(
                rule.StockOnly ? $"at least one receiver with the stock for {rule.Sets} set(s)" : "at least one receiver in the drawer",
                rule.StockOnly ? "Lower limits.sets, or set limits.stockOnly to false." : null,
                $"no such receiver for the way \"{name}\"");
        }

        return served;
    }

    private static List<string> Known(IReadOnlyList<JsonCursor>? items, IReadOnlyList<string>? known, string what)
    {
        List<string> words = [];
        foreach (JsonCursor item in items ?? [])
        {
            if (item.AsText(80) is not { } word)
            {
                continue;
            }

            words.Add(word);
            if (known is not null && !known.Contains(word))
            {
                string list = known.Count == 0 ? "there is none" : string.Join(", ", known.Take(60)) + (known.Count > 60 ? ", …" : "");
                item.Refuse($"{what} ({list})", item.Faults.IsFull ? null : Nearest.Hint(word, known));
            }
        }

        return words;
    }
}
