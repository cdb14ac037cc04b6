//! A reader of formulas as they are printed: it knows signs and the names that a row lists, and nothing else.

/// The value of a formula as printed; `Err` with whatever in it is neither a sign, a number nor a name.
pub(crate) fn worked_out(formula: &str, names: &[(&str, f64)]) -> Result<f64, String> {
    let mut names = names.to_vec();
    names.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
    let mut tokens: Vec<Token> = Vec::new();
    let mut rest = formula.trim_start();
    while let Some(sign) = rest.chars().next() {
        if let Some((name, value)) = names.iter().find(|(name, _)| rest.starts_with(name)) {
            tokens.push(Token::Number(*value));
            rest = &rest[name.len()..];
        } else if sign.is_ascii_digit() {
            let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(rest.len());
            let number = rest[..end].replace(',', "").parse().map_err(|_| rest.to_owned())?;
            tokens.push(Token::Number(number));
            rest = &rest[end..];
        } else if "+−×÷√()²".contains(sign) {
            tokens.push(Token::Sign(sign));
            rest = &rest[sign.len_utf8()..];
        } else {
            return Err(rest.to_owned());
        }
        rest = rest.trim_start();
    }
    let mut at = 0;
    let value = sum(&tokens, &mut at);
    value.filter(|_| at == tokens.len()).ok_or_else(|| format!("{formula}, from sign {at}"))
}

#[derive(Clone, Copy)]
enum Token {
    Number(f64),
    Sign(char),
}

fn take(tokens: &[Token], at: &mut usize, wanted: char) -> bool {
    let there = matches!(tokens.get(*at), Some(Token::Sign(sign)) if *sign == wanted);
    *at += usize::from(there);
    there
}

fn sum(tokens: &[Token], at: &mut usize) -> Option<f64> {
    let mut value = product(tokens, at)?;
    loop {
        if take(tokens, at, '+') {
            value += product(tokens, at)?;
        } else if take(tokens, at, '−') {
            value -= product(tokens, at)?;
        } else {
            return Some(value);
        }
    }
}

fn product(tokens: &[Token], at: &mut usize) -> Option<f64> {
    let mut value = power(tokens, at)?;
    loop {
        if take(tokens, at, '×') {
            value *= power(tokens, at)?;
        } else if take(tokens, at, '÷') {
            value /= power(tokens, at)?;
        } else {
            return Some(value);
        }
    }
}

fn power(tokens: &[Token], at: &mut usize) -> Option<f64> {
    if take(tokens, at, '√') {
        return power(tokens, at).map(f64::sqrt);
    }
    let value = if take(tokens, at, '(') {
        let inner = sum(tokens, at)?;
        if !take(tokens, at, ')') {
            return None;
        }
        inner
    } else {
        let Some(Token::Number(number)) = tokens.get(*at) else { return None };
        *at += 1;
        *number
    };
    Some(if take(tokens, at, '²') { value * value } else { value })
}
