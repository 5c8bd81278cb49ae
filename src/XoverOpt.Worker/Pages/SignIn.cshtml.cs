using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Access;

namespace XoverOpt.Worker.Pages;

/// <summary>Takes an API key and leaves it with the browser, so that pages ask by the same scopes as programs do.</summary>
internal sealed class SignInModel(KeyRing ring) : PageModel
{
    /// <summary>Whether this worker asks for keys.</summary>
    public bool KeysNeeded => ring.KeysNeeded;

    /// <summary>The page to go to.</summary>
    public string To { get; private set; } = "/";

    /// <summary>Whether the key handed in does not hold.</summary>
    public bool Wrong { get; private set; }

    /// <summary>The scope of a key that holds and does not reach; null otherwise.</summary>
    public string? Short { get; private set; }

    public void OnGet(string? to)
    {
        To = Own(to);
        Short = Asker.Of(HttpContext).Granted is { } granted && to is not null ? ScopeRules.Name(granted) : null;
    }

    public IActionResult OnPost(string? key, string? to)
    {
        To = Own(to);
        if (key is null || ring.Find(key.Trim()) is null)
        {
            Wrong = true;
            Response.StatusCode = StatusCodes.Status401Unauthorized;
            return Page();
        }

        Response.Cookies.Append(KeyCheck.Cookie, key.Trim(), Kept());
        return LocalRedirect(To);
    }

    public IActionResult OnPostLeave()
    {
        Response.Cookies.Delete(KeyCheck.Cookie, Kept());
        return LocalRedirect(PageRoutes.SignIn);
    }

    private CookieOptions Kept() => new() { HttpOnly = true, SameSite = SameSiteMode.Strict, Secure = Request.IsHttps, Path = "/" };

    // Never to another site, whatever the address says.
    private string Own(string? to) => Url.IsLocalUrl(to) ? to! : "/";
}
